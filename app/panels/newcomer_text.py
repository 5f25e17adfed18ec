"""What newcomers ask, and the words of the trade, in short; README has the same."""

from __future__ import annotations

QUESTIONS: tuple[tuple[str, str], ...] = (
    (
        "Why is my antenna flat?",
        (
            "An SWR that is low and hardly changes over a wide span is more often a lossy cable, "
            "or something that takes the power as a dummy load does, than a good antenna. "
            "Disconnect the antenna and sweep again: if the curve looks the same, it is not the "
            "antenna."
        ),
    ),
    (
        "Why does the cable make it look better?",
        (
            "The wave loses power on the way to the antenna and again on the way back, so less "
            "comes back to the analyzer. Behind 3 dB of cable even an open end shows an SWR of "
            "3. State the line in Edit > Feed line and remove it to see the antenna itself."
        ),
    ),
    (
        "Why are best match and resonance not the same?",
        (
            "Best match is where the SWR is lowest, resonance where the reactance is zero. They "
            "only meet where the resistance at resonance happens to suit the reference "
            "impedance."
        ),
    ),
    (
        "How good does the SWR have to be?",
        (
            "At SWR 2 a ninth of the power (11 %) comes back, which costs 0.5 dB; at SWR 3 a "
            "quarter, 1.2 dB. Whether that matters is up to the transmitter: many reduce power "
            "from SWR 2 on (common practice, no source). Band > Advice works it out for yours."
        ),
    ),
    (
        "Is a low SWR a good antenna?",
        (
            "No. A 50 ohm resistor has SWR 1 and radiates nothing. SWR says how well power goes "
            "in, not what becomes of it."
        ),
    ),
    (
        "Why does the table say cannot tell?",
        (
            "Because the sweep does not show it: it stops before the band's edge, its points are "
            "too far apart, or the answer lies within the noise or the analyzer's error. The "
            "reason is in the cell's tip, with what to do."
        ),
    ),
    (
        "Why do two sweeps of the same dry antenna differ?",
        (
            "Another calibration, a connector turned again, a hand near the cable, drift. Take "
            "the first condition again at the end, and Edit > Before, during, after tells what "
            "drifted from what came and went."
        ),
    ),
    (
        "I have only an SWR meter. Is that enough?",
        (
            "For SWR, usable bandwidth and the best match, yes: File > Type readings. "
            "Resistance, reactance, Q and the Smith chart need an analyzer that measures phase."
        ),
    ),
    (
        "Does it send anything anywhere?",
        "No. It opens no connection to any other machine, and your files are only read.",
    ),
)

GLOSSARY: tuple[tuple[str, str], ...] = (
    ("band edge", "one of the two frequencies between which the antenna has to work"),
    ("bench", "the project: sweeps, names, notes, band and limit, in one file"),
    ("best match", "the frequency where the SWR is lowest"),
    ("condition", "what was different when a sweep was taken: dry, soaked, iced, rolled up"),
    ("feed line", "the cable between radio and antenna"),
    ("feed point", "where the feed line meets the antenna"),
    ("group", "sweeps of several units of one kind, or of one antenna measured again"),
    ("mismatch loss", "what is missing because a part of the power comes back, in dB"),
    ("overlay", "several sweeps in one plot"),
    ("Q", "how sharply an antenna is tuned: high means narrow"),
    ("reactance, X", "the part of the impedance that stores energy instead of taking power"),
    ("reference", "the sweep that the others are compared with"),
    ("reference impedance", "the impedance that counts as a perfect match, mostly 50 ohm"),
    ("reference plane", "the place along the cable that a sweep describes"),
    ("reflection coefficient", "what comes back, as a share of what was sent, with its phase"),
    ("resistance, R", "the part of the impedance that takes power, radiated or lost"),
    ("resonance", "where the reactance crosses zero"),
    ("return loss", "how far what comes back is below what was sent, in dB: more is better"),
    ("Smith chart", "all impedances in one circle, the perfect match in its centre"),
    ("sweep", "one measurement over a range of frequencies"),
    ("SWR", "standing wave ratio: 1 is a perfect match, larger is worse"),
    ("Touchstone", "the usual text format of analyzers for sweeps: .s1p, .s2p, .ts"),
    ("usable bandwidth", "the range of frequencies whose SWR stays under the limit"),
    ("velocity factor", "how fast a wave runs along a cable, as a share of the speed of light"),
)
