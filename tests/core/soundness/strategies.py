"""Generated stones, findings and inspections: the one home of what hypothesis draws for soundness."""

from hypothesis import strategies as st

tenths = lambda low, high: st.integers(int(low * 10), int(high * 10)).map(lambda n: n / 10)  # noqa: E731
probe = st.sampled_from([None, True, False])


@st.composite
def faces(draw):
    """Length and width of a stone's face, mm, the length the longer one."""
    width = draw(tenths(40, 90))
    return draw(tenths(width, 230)), width


@st.composite
def probes(draw):
    """Answers to all probes of a finding, some not asked."""
    names = ("catches_nail", "catches_edge", "scratches_finish", "stays_dark_wet", "moves_when_pressed")
    answers = {name: draw(probe) for name in names}
    return answers | {
        "relieved": draw(st.booleans()),
        "depth_mm": draw(st.none() | tenths(0, 30)),
        "dip_deg": draw(st.none() | tenths(0, 90)),
        "size_mm": draw(st.none() | tenths(0.5, 30)),
    }
