//! Can pressure and discharge, flight, cone, pass pattern.
