"""Water, heat and strength: what happens in a bowl between the pour and the last round."""
