"""From a question and some coffees to places, codes and a sealed key."""
