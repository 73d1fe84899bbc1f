"""From marks to evidence, verdict and documents."""
