"""Numbers that would make sense in another trade: arrays in, frozen results out."""
