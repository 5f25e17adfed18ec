"""The worked example in four steps: what each shows, and what to look at."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StoryStep:
    """One step.

    Attributes
    ----------
    title, text : str
    labels : tuple of str
        Names of the sweeps it shows alone.
    group : str
        Name of the group whose envelope and mean it shows; may be empty.
    """

    title: str
    text: str
    labels: tuple[str, ...]
    group: str = ""


STORY = (
    StoryStep(
        "Dry",
        "A club's 6 m ground-plane on the roof, dry, and the dipole on the test mast that the "
        "club trusts. The shaded band is 50 to 52 MHz, the red line the SWR limit of 2. In the "
        "table both cover the band: nowhere between the edges does the SWR reach the limit. Best "
        "match is where the SWR is lowest; it lies 0.1 MHz apart in the two, and neither is "
        "better for that.",
        ("ground-plane-dry", "dipole-reference"),
    ),
    StoryStep(
        "Soaked",
        "The same antenna in heavy rain. The column Shift says how far the best match moved: 0.3 "
        "MHz lower, as if the element were longer. The band is still covered. Below the table "
        "the same stands in words. The dry sweep is the reference that changes are counted from.",
        ("ground-plane-dry", "ground-plane-wet"),
    ),
    StoryStep(
        "Iced",
        "Covered with ice the best match is 1.8 MHz lower, outside the band, and the SWR at the "
        "upper edge goes over the limit: the table says no, and how much power the mismatch "
        "sends back. Drag the upper band edge down to see how much of the band is left.",
        ("ground-plane-dry", "ground-plane-wet", "ground-plane-iced"),
    ),
    StoryStep(
        "Units",
        "Five members built the antenna from a kit; the surface is what lies between them, the "
        "thick line their mean. All five cover the band, and unit 5 has the lowest SWR. It is "
        "the worst of them: a bad joint adds 8 ohm, which shows in R and Q at resonance, and not "
        "in the SWR. A good match is not efficiency.",
        ("kit-unit-1", "kit-unit-2", "kit-unit-3", "kit-unit-4", "kit-unit-5"),
        "Kit",
    ),
)
FOOT = "All of it is invented: computed from a model, nothing was measured."
