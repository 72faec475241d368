//! Searching distance, speed, step-over and the number of coats.
