//! One renderer a file: text and JSON. Renders finished models and computes nothing.
