"""Pictures, as Vega-Lite specifications."""
