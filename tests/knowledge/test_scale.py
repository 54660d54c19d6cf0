"""Words and their probabilities."""

from diagnose.knowledge.scale import standard

from .samples import loaded, told


def test_words_never_stand_for_nought_or_one():
    """Every word of the standard scales lies strictly between."""
    scales = standard()
    assert all(0 < share < 1 for scale in (scales.frequency, scales.misread) for share in scale.values())
    assert list(scales.frequency.values()) == sorted(scales.frequency.values(), reverse=True)
    assert list(scales.how_common.values()) == sorted(scales.how_common.values(), reverse=True)


def test_a_file_lays_its_words_over_the_standard_ones():
    """The words given are changed or added, the others stay; numbers replace."""
    knowledge, problems = loaded(
        "scales: {frequency: {usually: 0.7, now and then: 0.3}, not-listed: 0.1, source: from memory}"
    )
    assert not problems
    scales = knowledge.scales
    assert (scales.frequency["usually"], scales.frequency["now and then"], scales.frequency["rarely"]) == (
        0.7,
        0.3,
        0.025,
    )
    assert (scales.not_listed, scales.two_at_once) == (0.1, standard().two_at_once)
    assert knowledge.rules["milky-oil"].links[0].probability == 0.7


def test_an_unknown_scale_is_told(pure):
    """The nearest right one is offered."""
    assert (
        "unknown-key 'frequencies' is not a key of scales. Did you mean 'frequency'?"
        in told("scales: {frequencies: {}}", pure=pure)[0]
    )
