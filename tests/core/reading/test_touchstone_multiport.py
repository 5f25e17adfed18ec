"""S11 out of files with more than one port."""

from __future__ import annotations

import numpy as np
import pytest
import skrf
from touchstone_text import codes, error_of, pairs_of, read, s11_of_oracle, text_of

FREQUENCY = np.array([1.0, 1.5, 2.0, 2.5])


def network(ports, seed=1, references=50.0):
    """A random passive network, reciprocal; scikit-rf converts it to other parameters."""
    rng = np.random.default_rng(seed)
    s = rng.normal(size=(FREQUENCY.size, ports, ports)) + 1j * rng.normal(
        size=(FREQUENCY.size, ports, ports)
    )
    s = (s + s.transpose(0, 2, 1)) / 2
    s *= 0.9 / np.linalg.norm(s, ord=2, axis=(1, 2), keepdims=True)
    return skrf.Network(f=FREQUENCY, f_unit="ghz", s=s, z0=references)


def rows(matrices, form="RI", order="rows", per_line=4):
    """Lines of network data as version 1 wants them: two ports by columns, others by rows."""
    lines = []
    for frequency, matrix in zip(FREQUENCY.tolist(), matrices, strict=True):
        ports = len(matrix)
        entries = matrix.T if order == "columns" else matrix
        pairs = pairs_of(entries.reshape(-1), form)
        words = [f"{first!r} {second!r}" for first, second in pairs.tolist()]
        if ports <= 2:
            groups = [words]
        else:
            groups = [
                words[start : start + min(per_line, stop - start)]
                for row in range(ports)
                for stop in [(row + 1) * ports]
                for start in range(row * ports, stop, per_line)
            ]
        for number, group in enumerate(groups):
            lead = f"{frequency!r} " if number == 0 else "     "
            lines.append(lead + " ".join(group))
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("form", ["RI", "MA", "DB"])
@pytest.mark.parametrize("ports", [2, 3, 4, 5, 9])
def test_s11_of_wrapped_rows(ports, form):
    s = network(ports).s
    text = f"# GHz S {form} R 50\n" + rows(s, form)
    reading = read(text, f"x.s{ports}p")
    np.testing.assert_allclose(reading.sweep.reflection, s[:, 0, 0], rtol=1e-12)
    np.testing.assert_allclose(
        reading.sweep.reflection, s11_of_oracle(text, f"x.s{ports}p")[1], rtol=1e-12
    )
    assert codes(reading) == ["s11-of-multiport"]


def test_the_number_of_ports_comes_from_the_rows_not_from_the_name():
    text = "# GHz S RI R 50\n" + rows(network(3).s)
    reading = read(text, "x.s1p")
    np.testing.assert_allclose(reading.sweep.reflection, network(3).s[:, 0, 0])
    assert text_of(reading, "ports-differ-from-name") == (
        "the name says 1-port, the rows are 3-port data"
    )
    one_port = read("# GHz S RI R 50\n1 .1 .2\n2 .3 .4\n", "x.s2p")
    assert len(one_port.sweep) == 2
    assert codes(one_port) == ["ports-differ-from-name"]


def test_one_line_a_frequency_is_read_for_any_number_of_ports():
    text = "# GHz S RI R 50\n" + rows(network(3).s, per_line=3).replace("\n     ", " ")
    assert read(text, "x.txt").sweep.reflection.tolist() == network(3).s[:, 0, 0].tolist()


def test_two_ports_on_two_lines_and_a_frequency_on_its_own():
    text = "# GHz S RI R 50\n1 .1 .2 0 0\n 0 0 .3 .4\n2 .5 .6 0 0\n 0 0 .7 .8\n"
    assert read(text).sweep.reflection.tolist() == [0.1 + 0.2j, 0.5 + 0.6j]
    text = "# GHz S RI R 50\n1\n.1 .2\n2\n.5 .6\n"
    assert read(text).sweep.reflection.tolist() == [0.1 + 0.2j, 0.5 + 0.6j]


@pytest.mark.parametrize("parameter", ["Z", "Y", "H", "G"])
def test_other_parameters_of_two_ports_version_1(parameter):
    # Version 1 values are normalised, so they are those of a 1-ohm system.
    one_ohm = network(2, references=1.0)
    matrix = getattr(one_ohm, parameter.lower())
    text = f"# GHz {parameter} RI R 75\n" + rows(matrix, order="columns")
    sweep = read(text, "x.s2p").sweep
    assert sweep.z0_ohm == 75
    np.testing.assert_allclose(sweep.reflection, one_ohm.s[:, 0, 0], rtol=1e-11)


@pytest.mark.parametrize("parameter", ["Z", "Y", "H", "G"])
@pytest.mark.parametrize("order", ["12_21", "21_12"])
def test_other_parameters_of_two_ports_version_2(parameter, order):
    # In ohm and siemens, each port with a reference of its own: scikit-rf converts.
    wanted = network(2, references=[20.0, 90.0])
    text = (
        f"[Version] 2.0\n# GHz {parameter} MA\n[Number of Ports] 2\n"
        f"[Two-Port Data Order] {order}\n[Number of Frequencies] 4\n[Reference] 20 90\n"
        "[Network Data]\n"
        + rows(getattr(wanted, parameter.lower()), "MA", "rows" if order == "12_21" else "columns")
        + "[End]\n"
    )
    sweep = read(text, "x.ts").sweep
    assert sweep.z0_ohm == 20
    np.testing.assert_allclose(sweep.reflection, wanted.s[:, 0, 0], rtol=1e-11)


@pytest.mark.parametrize("parameter", ["S", "Z", "Y"])
@pytest.mark.parametrize("matrix_format", ["Full", "Lower", "upper"])
def test_half_matrices_of_three_ports(parameter, matrix_format):
    wanted = network(3, references=[50.0, 60.0, 70.0])
    matrices = getattr(wanted, parameter.lower())
    lines = []
    for frequency, matrix in zip(FREQUENCY.tolist(), matrices, strict=True):
        indices = {
            "Full": (np.repeat(range(3), 3), np.tile(range(3), 3)),
            "Lower": np.tril_indices(3),
            "upper": np.triu_indices(3),
        }[matrix_format]
        pairs = pairs_of(matrix[indices], "RI").tolist()
        lines.append(f"{frequency} " + " ".join(f"{a!r} {b!r}" for a, b in pairs))
    text = (
        f"[Version] 2.1\n# GHz {parameter} RI\n[Number of Ports] 3\n[Number of Frequencies] 4\n"
        f"[Reference] 50 60 70\n[Matrix Format] {matrix_format}\n[Network Data]\n"
        + "\n".join(lines)
        + "\n[End]\n"
    )
    sweep = read(text, "x.ts").sweep
    np.testing.assert_allclose(sweep.reflection, wanted.s[:, 0, 0], rtol=1e-11)


def test_a_hybrid_parameter_of_zero_does_no_harm():
    # h22 = 0 (an ideal transistor): with port 2 at 50 ohm, Z1 = h11 = 1000 ohm; G = 950 / 1050.
    text = (
        "[Version] 2.0\n# GHz H RI\n[Number of Ports] 2\n[Number of Frequencies] 2\n"
        "[Reference] 50 50\n[Network Data]\n"
        "1 1000 0 50 0 0 0 0 0\n2 1000 0 50 0 0 0 0 0\n[End]\n"
    )
    np.testing.assert_allclose(read(text, "x.ts").sweep.reflection, 950 / 1050, rtol=1e-15)


def test_noise_behind_version_1_data_is_left_out():
    # Example of specification 1.1: the noise block starts where the frequency goes back.
    text = (
        "# GHz S MA R 50\n! NETWORK PARAMETERS\n2 .95 -26 3.57 157 .04 76 .66 -14\n"
        "22 .60 -144 1.30 40 .14 40 .56 -85\n! NOISE PARAMETERS\n"
        "4 .7 .64 69 .38\n18 2.7 .46 -33 .40\n"
    )
    reading = read(text, "x.s2p")
    assert reading.sweep.frequency_hz.tolist() == [2e9, 22e9]
    assert codes(reading) == ["s11-of-multiport", "noise-left-out"]
    np.testing.assert_allclose(
        reading.sweep.reflection,
        [0.95 * np.exp(-1j * np.radians(26)), 0.6 * np.exp(-1j * np.radians(144))],
    )


def test_a_noise_block_may_start_at_the_last_frequency_of_the_data():
    text = "# GHz S RI R 50\n1 1 0 0 0 0 0 0 0\n2 1 0 0 0 0 0 0 0\n2 .7 .6 69 .4\n3 .7 .6 69 .4\n"
    assert "noise-left-out" in codes(read(text, "x.s2p"))


def test_short_rows_that_are_no_noise_block_are_refused():
    good = "# GHz S RI R 50\n1 1 2 3 4 5 6 7 8\n2 1 2 3 4 5 6 7 8\n"
    wanted = "x.s2p:4: 5 numbers in this row where 9 belong"
    assert error_of(good + "3 1 2 3 4\n", "x.s2p").startswith(wanted)  # the frequency rises
    assert error_of(good + "1 1 2 3 4\n3 1 2 3 4 5 6 7 8\n", "x.s2p").startswith(wanted)
    assert error_of("# GHz S RI R 50\n1 1 2 3 4\n" + good[16:], "x.s2p").startswith(
        "x.s2p:2: 5 numbers"
    )


def test_the_file_name_decides_only_where_the_rows_speak_for_two_numbers_of_ports():
    text = "# GHz S RI R 50\n1 .1 0\n2 .1 0 0 0 0 0 .2 0\n"
    assert error_of(text, "x.s1p").startswith("x.s1p:3: 9 numbers in this row where 3 belong")
    assert error_of(text, "x.s2p").startswith("x.s2p:2: 3 numbers in this row where 9 belong")


def test_a_point_without_reflection_names_its_line_among_many():
    # Z = -R on both ports: the matrix Z + R is singular at the second frequency only.
    text = "# GHz Z RI R 50\n1 1 0 0 0 0 0 1 0\n2 -1 0 0 0 0 0 -1 0\n3 1 0 0 0 0 0 1 0\n"
    assert error_of(text, "x.s2p").startswith(
        "x.s2p:3: this point has no reflection coefficient (value too large, or Z = -R); "
    )


@pytest.mark.parametrize("parameter", ["H", "G"])
def test_hybrid_parameters_need_two_ports(parameter):
    assert error_of(f"# GHz {parameter} RI R 50\n1 1 0\n2 1 0\n").startswith(
        f"unit 1.s1p:1: {parameter} parameters need two ports, but the rows are 1-port data; "
    )


def test_half_a_hybrid_matrix_is_refused():
    text = (
        "[Version] 2.0\n# GHz H RI\n[Number of Ports] 2\n[Number of Frequencies] 2\n"
        "[Matrix Format] Lower\n[Network Data]\n1 1 0 0 0 1 0\n2 1 0 0 0 1 0\n[End]\n"
    )
    assert error_of(text).startswith("unit 1.s1p:2: half a matrix of H parameters; ")


MIXED = (
    "[Version] 2.0\n# GHz {0} RI\n[Number of Ports] 3\n[Number of Frequencies] 2\n"
    "[Mixed-Mode Order] {1}\n[Network Data]\n1 .1 0"
    + " 0" * 16
    + "\n2 .2 0"
    + " 0" * 16
    + "\n[End]\n"
)


def test_mixed_mode_is_read_only_where_port_1_stands_alone_and_first():
    assert read(MIXED.format("S", "S1 D2,3 C2,3"), "x.ts").sweep.reflection.tolist() == [0.1, 0.2]
    for order in ("D2,3 C2,3 S1", "S2 S1 S3", ""):
        assert error_of(MIXED.format("S", order), "x.ts").startswith(
            "x.ts:5: mixed-mode data: the first entry is not the reflection of port 1; "
            "export single-ended S-parameters"
        )
    assert error_of(MIXED.format("Z", "S1 D2,3 C2,3"), "x.ts").startswith(
        "x.ts:5: mixed-mode data of Z parameters; "
    )
