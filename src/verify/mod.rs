//! Check files through the models.
