"""What the lab has to set a table with, asked once and kept."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """Kettles, spoons and the grams that never reach a bowl.

    purge_g:          of a coffee, run through the grinder before its first cup, g.
    colour_g:         ground for the colour reading, g.
    loss_share:       weight lost in the roast, 0 to 1.
    weigh_to_g:       roasted and green coffee is weighed out in whole steps of this, upwards, g.
    grading_g:        green laid out for a physical grading, g.
    retained_g:       one retained portion of green, g.
    kettles:          kettles that can be hot at the same time.
    kettle_ml:        one kettle, full, ml.
    kettle_rest_ml:   what stays in a kettle because it cannot be poured, ml.
    reheat_s:         from an empty kettle to one that is full and hot, s.
    absorbed_g_a_g:   water that a gram of grounds keeps, g.
    over_grounds_ml:  liquid over the grounds that no spoon takes without them, ml.
    spoon_ml:         one spoon, ml.
    """

    purge_g: float
    colour_g: float
    loss_share: float
    weigh_to_g: float
    grading_g: float
    retained_g: float
    kettles: int
    kettle_ml: float
    kettle_rest_ml: float
    reheat_s: float
    absorbed_g_a_g: float
    over_grounds_ml: float
    spoon_ml: float


# Until the lab has figures of its own. The spoon: [S23]; all others: common practice, no source.
USUAL = Means(
    purge_g=5,
    colour_g=10,
    loss_share=0.13,
    weigh_to_g=5,
    grading_g=350,
    retained_g=100,
    kettles=1,
    kettle_ml=1000,
    kettle_rest_ml=50,
    reheat_s=180,
    absorbed_g_a_g=2.1,
    over_grounds_ml=30,
    spoon_ml=5,
)
