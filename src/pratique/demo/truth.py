"""What is true in the demo household and no entry says: for tests, and for whoever wants to compare."""

from dataclasses import dataclass

from pratique.demo.tank import TankTruth

LAZARET = TankTruth(
    volume_l=74.0,
    copper_loss_per_day=0.03,
    gut_hours=8.0,
    nitrifiers_at_start_per_day=0.03,
    nitrifier_growth_per_day=0.32,
    nitrifier_limit_per_day=0.9,
    copper_hold=4.0,
)


@dataclass(frozen=True)
class KnownTruth:
    """The hidden facts of the story; days count from the arrival of B1, which is day 0.

    `stock_strength_mg_per_ml` is the true strength of the copper stock. The dip is given as story days with fractions.
    """

    lazaret: TankTruth = LAZARET
    lazaret_believed_l: float = 80.0
    stock_strength_mg_per_ml: float = 0.97
    copper_reached_day: int = 5
    dip_began_day: int = 11
    dip_ended_day: int = 12
    ammonia_peak_day: int = 14
    ammonia_climbs_since_day: int = 35
    goby_eats_less_since_day: int = 16
    goby_refuses_since_day: int = 18
    goby_hesitant_since_day: int = 29
    wrasse_carries: str = "flukes"
    wrasse_depth_over_length: tuple[tuple[int, float], ...] = (
        (22, 0.310),
        (26, 0.300),
        (30, 0.290),
        (34, 0.281),
        (38, 0.270),
    )
    brown_dust_is: str = "small beaked-oval dinoflagellates that gather again on what the light reaches"
    red_patch_is: str = "a creeping sheet of cyanobacteria where the water hardly moves"


TRUTH = KnownTruth()
