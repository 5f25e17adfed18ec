"""The Help menu."""

from __future__ import annotations

from fairlead.app.shell.actions.spec import ActionSpec

HELP: tuple[ActionSpec, ...] = (
    ActionSpec(
        "story",
        "&Help",
        "&Step by step through an example",
        "A club's roof antenna dry, soaked and iced, and five kit-built units; all of it invented",
        lambda do: do.story.open(),
        icon="samples",
    ),
    ActionSpec(
        "help-keys",
        "&Help",
        "&Keys",
        "Every key, and what the mouse does",
        lambda do: do.help.show_keys(),
        keys=("F1",),
        icon="help",
    ),
    ActionSpec(
        "help-figures",
        "&Help",
        "What the &figures mean",
        "Each column of the table in one sentence",
        lambda do: do.help.show_figures(),
    ),
    ActionSpec(
        "help-questions",
        "&Help",
        "&Questions and words",
        "What newcomers ask, and the words of the trade in a line each",
        lambda do: do.help.show_questions(),
    ),
    ActionSpec(
        "help-why",
        "&Help",
        "&Why is this marked?",
        "What was found in the selected sweep: why it matters, when it is reported, what to do",
        lambda do: do.help.show_why_selected(),
        keys=("Shift+F1",),
        icon="remark",
        need="one",
    ),
    ActionSpec(
        "help-cautions",
        "&Help",
        "&Cautions",
        "Power lines, lightning and static, RF exposure, transmitting into a bad match",
        lambda do: do.help.show_cautions(),
        icon="warning",
    ),
    ActionSpec(
        "about",
        "&Help",
        "&About Fairlead",
        "Version, licence and libraries",
        lambda do: do.help.show_about(),
        icon="fairlead",
        starts_section=True,
    ),
)
