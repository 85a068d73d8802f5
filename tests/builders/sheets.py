"""Filled sheets of the invented household Harbour Row, for tests of the pages. Every figure in them is invented."""

import math
from datetime import datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from pratique.casework.sheets import (
    About,
    Advice,
    AnimalGate,
    AnimalSheet,
    Chart,
    ChartMark,
    ChartPoint,
    ChartReading,
    Coincidence,
    Concern,
    CourseSheet,
    CriterionLine,
    DayCell,
    Due,
    Evidence,
    FeedMark,
    FindingLine,
    GrowthSheet,
    LegLine,
    LevelNow,
    LikelyDip,
    ListGroup,
    ListLine,
    NextStep,
    PassageSheet,
    Place,
    Reason,
    Resident,
    Rounds,
    SystemSheet,
)
from pratique.casework.sheets.growth import CandidateLine, LookLine, WhyLine

ZONE = ZoneInfo("Europe/Lisbon")
NOW = datetime(2026, 11, 25, 17, 40, tzinfo=ZONE)
BEGAN = datetime(2026, 10, 20, 19, 0, tzinfo=ZONE)

LAZARET = About("system", "lazaret", "Lazaret")
SKERRY = About("system", "skerry", "Skerry")
HAVEN = About("system", "haven", "Haven")
GOBY = About("animal", "maiden-goby", "maiden goby")
WRASSE = About("animal", "six-line-wrasse", "six-line wrasse")
BRISTLETOOTH = About("animal", "bristletooth", "Tomini bristletooth")
B1 = About("batch", "b1", "Batch B1")
COURSE = About("course", "copper-b1", "Copper for B1")
CASE = About("case", "brown-dust", "Brown dust on the new rock")
LEVEL = Reason(
    "Ionic copper is held between 0.15 and 0.20 mg/L; above 0.25 mg/L it harms the fish.",
    "custom of the trade",
    "common practice",
)


def entry(number: int) -> UUID:
    """Return an entry's id."""
    return UUID(int=(0x0199_0000_0000_7000_8000 << 48) + number)


def days_ago(days: float, *, hour: int | None = None) -> datetime:
    """Return a moment some days before now, at a full hour if one is given."""
    moment = NOW - timedelta(days=days)
    return moment if hour is None else moment.replace(hour=hour, minute=0)


def a_feeding_strip(steps: str = "4434x44434x44", *, newest: datetime = NOW) -> tuple[FeedMark, ...]:
    """Return one feeding every 12 hours; `x` is one that was not seen."""
    return tuple(
        FeedMark(
            newest - timedelta(hours=12 * (len(steps) - 1 - place)), None if step == "x" else int(step), entry(place)
        )
        for place, step in enumerate(steps)
    )


def a_concern(*, weight: str = "now", about: About = WRASSE, cautions: tuple[str, ...] = ()) -> Concern:
    """Return a concern with everything a concern can carry."""
    words = {"now": "act now", "today": "today", "watch": "watch"}[weight]
    return Concern(
        key=f"condition.{about.key}",
        about=about,
        title="Six-line wrasse eats, yet grows thin",
        weight=weight,  # type: ignore[arg-type]
        weight_words=words,
        said=(
            "Depth over length fell from 0.31 to 0.27 in 16 days (over 99\u202f% sure it is a fall).",
            "It took 27 good meals out of 30.",
        ),
        next_steps=(
            NextStep("Look for flukes", "observation", (("animal", about.key),)),
            NextStep("Measure a photo", "photo", (("subjects", f"animal/{about.key}"),)),
        ),
        evidence=(
            Evidence("depth over length 0.27", days_ago(1, hour=9), entry(11)),
            Evidence("depth over length 0.31", days_ago(17, hour=9), entry(12)),
        ),
        since=days_ago(16).date(),
        just_before=(Coincidence("moved to Haven on 18 November", days_ago(7, hour=18), entry(13)),),
        reasons=(Reason("A healthy fish at this ration would gain.", "custom of the trade", "common practice"),),
        cautions=cautions,
        feeds=a_feeding_strip("4434444x4434x44"),
    )


def the_rounds() -> Rounds:
    """Return a day with all three weights and things due, one of them late."""
    ammonia = Concern(
        key="ammonia.lazaret",
        about=LAZARET,
        title="Lazaret: ammonia is climbing",
        weight="today",
        weight_words="today",
        said=("Un-ionised ammonia is 0.058 ± 0.013\u202fmg/L as N and rises 0.012 a day.",),
        next_steps=(NextStep("Change 24\u202fL", "water-change", (("system", "lazaret"), ("volume", "24"))),),
        evidence=(Evidence("total ammonia 0.9\u202fmg/L", days_ago(0.4), entry(20)),),
        cautions=("Test the new water first: a change at another pH can make ammonia worse at once.",),
    )
    late = Due(
        at=days_ago(0, hour=9),
        words="Lazaret: copper, total ammonia",
        about=LAZARET,
        step=NextStep("Write", "readings", (("system", "lazaret"),)),
        overdue_hours=8.7,
    )
    later = Due(
        at=days_ago(0, hour=21),
        words="Creel: watch the dottyback at the box",
        about=SKERRY,
        step=NextStep("Write", "observation", (("animal", "bristletooth"),)),
        note="five minutes, count the charges",
    )
    return Rounds(
        day=NOW.date(),
        household="Harbour Row",
        gist="One thing to act on, two to keep in mind. One thing is due by now.",
        concerns=(a_concern(), ammonia, a_concern(weight="watch", about=GOBY)),
        due=(late, later),
        looked_at="4 systems and 12 animals or groups in the ledger",
    )


def a_copper_chart(*, days: int = 30) -> Chart:
    """Return a course's level with a dose a day, a dip after a water change, and every shape of reading."""
    points = []
    for hour in range(days * 24 + 1):
        day = hour / 24
        value = 0.09 if 11 <= day < 12 else 0.16 + 0.04 * math.exp(-(day % 1) * 1.4)
        doubt = 0.04 - 0.02 * (hour % 48 == 0)
        points.append(
            ChartPoint(
                BEGAN + timedelta(hours=hour), value - doubt, value, value + doubt, jump=hour % 24 == 0 and hour > 0
            )
        )
    readings = [
        ChartReading(
            BEGAN + timedelta(days=day, hours=6),
            0.14,
            0.17,
            0.20,
            "bar",
            "0.17 ± 0.03\u202fmg/L by photometer",
            entry(100 + day),
        )
        for day in range(1, days - 8, 2)
    ]
    readings += [
        ChartReading(
            BEGAN + timedelta(days=day, hours=6),
            0.15,
            0.2,
            0.25,
            "box",
            "between 0.15 and 0.25\u202fmg/L",
            entry(200 + day),
        )
        for day in range(days - 7, days - 2)
    ]
    readings.append(ChartReading(BEGAN, 0.0, 0.01, 0.02, "below", "below 0.02\u202fmg/L", entry(300)))
    readings.append(
        ChartReading(BEGAN + timedelta(days=days - 1), 0.25, 0.26, 0.28, "above", "above 0.25\u202fmg/L", entry(301))
    )
    marks = [
        ChartMark(BEGAN + timedelta(days=day), "dose", "2.1\u202fmL of stock", entry(400 + day)) for day in range(days)
    ]
    marks.append(ChartMark(BEGAN + timedelta(days=11), "change", "changed 40\u202fL", entry(500)))
    return Chart(
        title="Copper in Lazaret",
        description="Ionic copper over 30 days with its target band; it dipped on day 11 after a large water change.",
        unit="mg/L",
        decimals=2,
        start=BEGAN,
        end=BEGAN + timedelta(days=days),
        line=tuple(points),
        readings=tuple(readings),
        marks=tuple(marks),
        band=(0.15, 0.20),
        band_words="target 0.15 to 0.20",
        hard_upper=0.25,
    )


def a_ribbon_chart(*, days: int = 10, ahead: int = 4) -> Chart:
    """Return a level with its 50 % and 95 % range, a dose given, and one planned in the days to be expected."""
    now = BEGAN + timedelta(days=days)
    points = []
    for hour in range((days + ahead) * 24 + 1):
        value = 0.18 * math.exp(-hour / 24 * 0.02)
        doubt = 0.01 + 0.0004 * max(0, hour - days * 24)
        low, high = value - 2 * doubt, value + 2 * doubt
        points.append(
            ChartPoint(
                BEGAN + timedelta(hours=hour), low, value, high, False, value - 0.67 * doubt, value + 0.67 * doubt
            )
        )
    return Chart(
        title="Copper in Lazaret",
        description="Copper with what is to be expected.",
        unit="mg/L",
        decimals=2,
        start=BEGAN,
        end=now + timedelta(days=ahead),
        line=tuple(points),
        readings=(
            ChartReading(BEGAN + timedelta(days=5), 0.15, 0.17, 0.19, "bar", "0.17 ± 0.02\u202fmg/L", entry(601)),
        ),
        marks=(
            ChartMark(BEGAN + timedelta(days=2), "dose", "2.1\u202fmL of stock", entry(602)),
            ChartMark(now + timedelta(days=1), "dose", "2.1\u202fmL of stock", None),
        ),
        band=(0.15, 0.20),
        band_words="target 0.15 to 0.20",
        hard_upper=0.25,
        expected_from=now,
    )


def an_empty_chart() -> Chart:
    """Return a chart of something nobody has read yet."""
    return Chart(
        title="Nitrate in Haven",
        description="Nothing was read yet.",
        unit="mg/L",
        decimals=1,
        start=days_ago(30),
        end=NOW,
    )


def the_days(count: int = 30) -> tuple[DayCell, ...]:
    """Return a course's days: one to raise the level, ten lost to a dip, and the rest counted."""
    cells = []
    for day in range(1, count + 1):
        dip = day in {11, 12}
        lost = day <= 10
        words = (
            "dipped under 0.15\u202fmg/L"
            if dip
            else "held, but before the dip"
            if 1 < day <= 10
            else "held"
            if not lost
            else "the level was being raised"
        )
        cells.append(
            DayCell(
                day=day,
                date=(BEGAN + timedelta(days=day - 1)).date(),
                held=not dip and day > 1,
                is_dip=dip,
                is_lost=lost and day > 1,
                words=words,
                probability=0.04 if dip else 0.97 if day > 1 else 0.3,
                counts=0.01 if day <= 12 else 0.93,
                reached=0.0 if day < 26 else 0.9,
                lowest=0.09 if dip else 0.16,
                lowest_low=0.07 if dip else 0.15,
                lowest_high=0.11 if dip else 0.18,
            )
        )
    return tuple(cells)


def a_course_sheet() -> CourseSheet:
    """Return an open copper course with a dip."""
    return CourseSheet(
        key="copper-b1",
        name="copper course of batch B1",
        system=LAZARET,
        batch=B1,
        standing="open",
        heading="Held for 18 days since the dip",
        gist="The level dipped under 0.15\u202fmg/L on day 11, so the clock began again. Twelve more days are needed.",
        band_words="Target 0.15 to 0.20\u202fmg/L of ionic copper; never above 0.25\u202fmg/L.",
        days_credited=18,
        days_lost=10,
        required_days=30.0,
        probability=0.04,
        chart=a_copper_chart(),
        days=the_days(),
        day_words=("Day 1: not yet at the band.", "Days 2 to 10: surely held, but lost: it lies before a dip."),
        said=(
            "The chance that 30 days in a row were held is 4 ± 1\u202f%.",
            "Your 90\u202fL tank holds 74 ± 3\u202fL of water, as doses, changes and readings show; "
            "80 ± 8\u202fL was believed beforehand.",
        ),
        dips=(
            LikelyDip(
                words="5 November, day 11: under 0.15\u202fmg/L with a chance of 97 ± 1\u202f%.",
                probability=0.97,
                is_likely=True,
                just_before=(Coincidence("water change of 40\u202fL on 5 November", BEGAN, entry(500)),),
            ),
        ),
        advice=Advice(
            title="Add 2.1\u202fmL of stock now",
            words="That brings the level from 0.16 to 0.18\u202fmg/L in 74\u202fL.",
            reasons=(LEVEL,),
            step=NextStep("Write it as done", "dose", (("system", "lazaret"), ("amount", "2.1"))),
            cautions=("Never raise it by more than 0.05\u202fmg/L at once.",),
        ),
        concerns=(a_concern(weight="today"),),
        cautions=(
            "Copper kills shrimps, snails and corals. Never dose water that any of them shares.",
            "Copper salts burn the eyes. Wear gloves and goggles, and follow the label and your aquatic vet.",
        ),
        reasons=(LEVEL,),
        steps=(
            NextStep("Read copper", "readings", (("system", "lazaret"),)),
            NextStep("Stop the course", "course-stop"),
        ),
    )


def a_resident(about: About = GOBY, *, steps: str = "432211000x12") -> Resident:
    """Return an animal as it stands in a list."""
    return Resident(
        about=about,
        species_words="maiden sleeper goby",
        latin="Valenciennea puellaris",
        place="Haven",
        since=days_ago(7, hour=18),
        appetite_words="Hesitant: took a few at the newest feeding; refused for 11 days before.",
        feeds=a_feeding_strip(steps),
    )


def a_system_sheet() -> SystemSheet:
    """Return a system with levels fresh and old, a compartment, a course, a case and two charts, one of them empty."""
    copper = LevelNow(
        constituent="copper",
        name="Copper",
        words="0.17 ± 0.03\u202fmg/L",
        method="pocket photometer",
        happened_at=days_ago(0.3),
        age_words="7\u202fh ago",
        is_old=False,
        entry=entry(61),
        judgement="inside the target",
    )
    ammonia = LevelNow(
        constituent="total_ammonia",
        name="Total ammonia, as N",
        words="between 0.5 and 1.0\u202fmg/L",
        method="colour chart",
        happened_at=days_ago(4),
        age_words="4 days ago",
        is_old=True,
        entry=entry(62),
        judgement="un-ionised not known: pH is old; at worst 0.12\u202fmg/L",
    )
    return SystemSheet(
        about=LAZARET,
        role_words="quarantine",
        volume_words="74 ± 3\u202fL net of 90\u202fL",
        gist="Copper is held; ammonia was last read 4 days ago.",
        words="A bare tank under the stairs.",
        levels=(copper, ammonia),
        places=(
            Place(name="Open water", compartment=None, residents=(a_resident(), a_resident(WRASSE, steps="44434x44"))),
            Place(name="Creel", compartment="creel", residents=()),
        ),
        courses=((COURSE, "open, day 30"),),
        cases=((CASE, "open since 3 November"),),
        charts=(a_copper_chart(), an_empty_chart()),
        concerns=(a_concern(weight="today", about=LAZARET),),
        steps=(
            NextStep("Read the water", "readings", (("system", "lazaret"),)),
            NextStep("Change water", "water-change", (("system", "lazaret"),)),
        ),
    )


def an_animal_sheet() -> AnimalSheet:
    """Return an animal with a long feeding record and two stays."""
    return AnimalSheet(
        about=GOBY,
        species_words="maiden sleeper goby",
        latin="Valenciennea puellaris",
        batch=B1,
        life_words="alive, in Haven since 18 November",
        gist="Refused for 11 days, hesitant again since Thursday.",
        appetite_words="Took a few at the newest feeding. The last certain meal before that was on 5 November.",
        breathing_words="64 ± 3 beats a minute, within its own range of 58 to 70.",
        condition_words="Belly pinched, as seen on 20 November.",
        rest_words="7 days since its last move, 8 days since copper.",
        copper_words="Takes copper like most gobies: raise it slowly.",
        species_reason=Reason("Sifts sand for food; starves in a bare tank.", "custom of the trade", "common practice"),
        feeds=a_feeding_strip("4434343433x2221100000x000000x0x00112x1122x232x32"),
        charts=(a_copper_chart(days=12),),
        stays=(
            ("Lazaret", days_ago(36), days_ago(7), entry(71)),
            ("Haven", days_ago(7), None, entry(72)),
        ),
        seen=(Evidence("64 beats a minute", days_ago(1), entry(73)), Evidence("lying down", days_ago(9), entry(74))),
        photos=(),
        concerns=(a_concern(about=GOBY),),
        steps=(NextStep("Write what you see", "observation", (("animal", "maiden-goby"),)),),
    )


def _leg(key: str, name: str, standing: str, when: str, role: str, gates: tuple[AnimalGate, ...] = ()) -> LegLine:
    return LegLine(key=key, name=name, standing=standing, when_words=when, role_words=role, gates=gates)  # type: ignore[arg-type]


def _line(about: About, words: str, note: str, weight: str) -> ListLine:
    said = {"now": "act now", "today": "today", "watch": "watch"}[weight]
    return ListLine(about=about, words=words, note=note, weight=weight, weight_words=said)  # type: ignore[arg-type]


def a_criterion(status: str = "met", *, title: str = "Days at the target") -> CriterionLine:
    """Return one criterion of a gate."""
    return CriterionLine(
        status=status,  # type: ignore[arg-type]
        title=title,
        words="18 of 14 days.",
        evidence=(Evidence("copper 0.17\u202fmg/L", days_ago(1), entry(81)),),
        how_to_know="" if status == "met" else "Count the breathing for 20 s.",
        reason=Reason("Spots return until every stage has met the copper.", "custom of the trade", "common practice"),
    )


def a_passage_sheet() -> PassageSheet:
    """Return a passage with a leg done, one under way with its gate for two animals, and one ahead."""
    shut = tuple(a_criterion(status, title=f"{status} thing") for status in ("met", "not met", "not known"))
    return PassageSheet(
        about=B1,
        protocol_name="copper, then clean water",
        protocol_words="Thirty days at copper in a bare tank, then recovery in clean water, then a box in the display.",
        day=38,
        gist="In recovery for 7 days. The gate is shut for one animal: its breathing is not known.",
        legs=(
            _leg("treat", "Treatment", "done", "20 October to 18 November", "quarantine"),
            _leg(
                "recover",
                "Recovery",
                "now",
                "since 18 November, day 7",
                "clean tank",
                gates=(
                    AnimalGate(about=GOBY, is_open=False, criteria=shut),
                    AnimalGate(about=WRASSE, is_open=True, criteria=shut[:1]),
                ),
            ),
            _leg(
                "box",
                "In the box",
                "ahead",
                "",
                "display",
                gates=(AnimalGate(about=GOBY, is_open=False, criteria=shut[1:]),),
            ),
        ),
        animals=(a_resident(), a_resident(WRASSE)),
        courses=((COURSE, "finished"),),
        concerns=(a_concern(weight="watch"),),
        reasons=(LEVEL,),
        steps=(NextStep("Begin the next leg", "leg", (("batch", "b1"),)),),
    )


def a_growth_sheet() -> GrowthSheet:
    """Return a growth case with findings, what may be done and what to look at next."""
    return GrowthSheet(
        about=CASE,
        system=SKERRY,
        since=days_ago(22).date(),
        closed=None,
        where="over the new rock and the sand",
        gist="Back within a day of vacuuming: that is gathering, not growth. Add nothing before 2 December.",
        findings=(
            FindingLine(words="brown dust", state="present", happened_at=days_ago(20), entry=entry(91)),
            FindingLine(
                words="bubbles in it", state="absent", happened_at=days_ago(4), entry=entry(92), note="looked at noon"
            ),
        ),
        timeline=(Evidence("vacuumed into a sock", days_ago(3), entry(93)),),
        candidates=(
            CandidateLine(key="ostreopsis", name="Ostreopsis", chance=0.61, low=0.4, high=0.8, harm="palytoxins"),
            CandidateLine(key="pennate_diatoms", name="Pennate diatoms", chance=0.2, low=0.1, high=0.3),
        ),
        why=(WhyLine(words="Yes: It is thinner in the morning", says="Weak evidence.", entry=entry(94)),),
        contradictions=(),
        turning="It would turn to pennate diatoms by a yes to “glass outlines remain”, which is 20\u202f% likely.",
        measures=(),
        looks=(
            LookLine(
                words="Cells spin on one point, at 100 times.",
                picture="spin_on_a_point",
                tool="microscope",
                minutes=15.0,
                says="Yes is 40\u202f% likely.",
                bits=0.54,
                step=NextStep("Write", "finding", (("case", "brown-dust"),)),
            ),
        ),
        regrowth_words="Cover went from 6 to 31\u202f% in a day.",
        photos=(),
        concerns=(a_concern(weight="today", about=SKERRY),),
        steps=(NextStep("Note a finding", "finding", (("case", "brown-dust"),)),),
        cautions=("Some of these growths carry toxins: gloves, no spray, and never boil the rock.",),
    )


def a_list() -> tuple[ListGroup, ...]:
    """Return two groups of lines, one line of each weight and one without."""
    return (
        ListGroup(
            heading="Quarantine",
            lines=(
                _line(LAZARET, "90\u202fL", "Ammonia is climbing", "now"),
                _line(HAVEN, "110\u202fL", "", "watch"),
            ),
        ),
        ListGroup(heading="Display", lines=(_line(SKERRY, "480\u202fL", "Add nothing before 2 December", "today"),)),
        ListGroup(heading="Empty", lines=()),
    )
