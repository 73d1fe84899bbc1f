"""A running table: what devices said, what state that makes, who may know what."""
