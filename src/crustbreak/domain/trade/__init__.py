"""What contracts say of a delivery, and what a claim has to show."""
