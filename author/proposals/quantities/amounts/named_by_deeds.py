"""What a length is of by what is done where it is told: "goes down", "carries", "off the floor".

These words name a characteristic without its noun; a noun that only stands near, or was said in
another breath, is not what is measured there: "same tension on both, and the heel of the forks
wants to be ten to fifteen mil off the floor" is a height.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.checks.verbs import words
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.named_by_words import BY_DIAL, named_by_words
from author.proposals.quantities.amounts.units import kind_of

DEEDS = words(
    "carry deflection give overlap engagement spacing difference alignment flatness play height "
    "protrusion clearance depth gap length drop extension"
)
"""Names given here, so that what is measured so can be told of its thing."""
_AHEAD, _BEHIND = 14, 6
_SO_MUCH = (
    r"(?: (?:by|to|is|be|to be|about|around|at|at least|at most|more than|less than|no more than|"
    r"no less than|not more than|not less than|over|under|up to|only|maybe|roughly|some|a|an|than|"
    r"between|from|within|nearly|just|exactly|say|of|another|no))*$"
)
_ONE = r"(?:it|them|that|this|(?:the|its|your|each) (?:\w+ )?\w+)"
_BY_DEED = tuple(
    (name, re.compile(rf"\b(?:{deed}){_SO_MUCH}"))
    for name, deed in (
        # "the block to carry it forward between three and five", "this one's carrying four"
        ("carry", rf"carr(?:y|ies|ied|ying)(?: {_ONE})? (?:forward|along)|carr(?:ies|ying)"),
        ("overlap", rf"overlap(?:s|ped|ping)?(?: {_ONE}| each other)?"),
        ("protrusion", r"(?:stick|pok|jut|protrud|stand|project)(?:e|es|s|ing)?(?: (?:out|proud|up)"
         r"(?: past \w+ \w+)?)"),
        ("gap", r"stand(?:s|ing)? (?:off|away)(?: (?:from )?the \w+)?"),
        ("engagement", r"(?:(?:be|is|are|gotta be|comes?|came) (?:right |all the way )?in"
         r"|engag(?:e|es|ed|ing))"),
        ("deflection", r"(?:it|they|she|that|belts?|chains?) (?:should |ought to |oughta |must "
         r"|will )?gives?"
         r"|(?:belts?|chains?) (?:should |ought to |must |will )?(?:moves?|deflects?)"),
        ("depth", r"(?:goes|go|sinks?|drops) (?:right )?in(?: (?:until|till) it's)?"),
        # "Pull the element forward about ten centimetres"
        ("distance", r"(?:pull|push|move|slide|shift|drag|ease|draw|bring)(?:s|ed|ing)?"
         r" (?:it|them|(?:the|its|both|each) (?:[\w-]+ )?[\w-]+)"
         r"(?: (?:forward|forwards|out|up|back|along|sideways|down|over|across|in))+"),
        ("clearance", rf"(?:clears?|miss(?:es)?) (?:{_ONE} )?by"),
        # "Tails trimmed to 45 mil past the nut"; "trim a groove to 2 mm deep" tells its own name.
        ("length", rf"(?:cut|trim(?:s|med)?|crop(?:s|ped)?|snip(?:ped)?|saw|sawn)(?: {_ONE})?"
         r"(?: back| down| off)? to"),
        ("spacing", r"(?:one|1|two|2|pins?|clips?|screws?|holes?|ties?|bolts?|them|it) every"),
        ("drop", r"(?:may|can|must|should|could|mustn't|shouldn't|can't|couldn't|not|never|it|it's"
         r"|has|have) (?:only |not )?(?:drop(?:s|ped)?|sinks?|sunk|creeps?|crept|settles?"
         r"|fall(?:s|en)?)(?: down)?"),
    )
)  # fmt: skip
_INTO = re.compile(r"(?:deep |down )?into (?:the|a|its|your|each)\b")
_CLEAR = re.compile(r"clear\b(?! (?:of|the|out|away|up|glass|tube|plastic))")
_BESIDE = tuple(
    (name, re.compile(behind))
    for name, behind in (
        (
            "height",
            r"(?:up |clear )?off (?:the |its )?(?:floor|ground|bench|deck|table|bed|road)\b",
        ),
        ("depth", _INTO.pattern),
        ("clearance", _CLEAR.pattern),
        ("overlap", r"(?:of )?overlap(?:ping)?\b"),
        ("spacing", r"(?:centres|centers|intervals|spacings?)\b"),
        ("flatness", r"(?:hollow|dished|out of flat)\b"),
        ("runout", r"out of true\b"),
        ("roundness", r"out of round\b"),
        ("squareness", r"out of square\b"),
        ("parallelism", r"out of parallel\b"),
        ("alignment", r"out of line\b"),
        ("extension", r"of extension\b"),
        ("engagement", r"(?:of )?engagement\b"),
        ("length", r"(?:shorter|longer)\b(?! than)"),
        ("depth", r"(?:deeper|shallower)\b(?! than)"),
        ("height", r"(?:higher|lower|taller)\b(?! than)"),
        ("width", r"(?:wider|narrower)\b(?! than)"),
        ("thickness", r"(?:thicker|thinner)\b(?! than)"),
    )
)
# "Take ten thou off the face", "cut 5 into the rail": so much is taken, none is measured.
_TAKEN = re.compile(r"\b(?:take|took|taking|skim|grind|ground|shave|cut|mill|machine|file|move)\b")
_OWN_NAME = re.compile(r"(?:deep|thick|long|wide|high|tall|proud|apart)\b")
_BELTS = re.compile(r"\b(?:belts?|chains?|cables?|bands?|ropes?|straps?|wires?|thumb|finger)\b")
_GIVE = re.compile(r"of give\b")
_PUSHED = re.compile(
    r"\b(?:push|press|prod|lean|pull)(?:es|s|ed|ing)?\b.*\b(?:thumb|finger|in the middle|midway|"
    r"half ?way|mid ?span)\b|\b(?:thumb|finger|in the middle|midway|half ?way|mid ?span)\b.*"
    r"\b(?:push|press|goes down|go down|gives?|deflect)"
)
_OF_EACH_OTHER = re.compile(
    r"(?:of|from|to) (?:each other|one another|the (?:other|others|rest))\b"
)
_DIFFERENCE = re.compile(r"(?:or so )?(?:of )?(?:a )?(?:difference|spread|variation)\b")
_APART = re.compile(r"apart\b")
_WITHIN = re.compile(
    r"\b(?:within|no more than|not more than|less than|at most)(?: (?:a|an|about))*$"
)


_ALL_ROUND = re.compile(r"(?:all (?:the way )?(?:round|around)|everywhere|on every side)\b")
_TOUCHES = re.compile(r"\b(?:touch|touches|touching|rub|rubs|rubbing|foul|fouls|catch|catches)\b")


def named_by_deed(scene: Scene, amount: Amount) -> str | None:
    """Return what a length is of by the words right around it, or None.

    Args:
        scene: its sentence.
        amount: a length.
    """
    ahead, behind = around(scene, amount)
    if _OWN_NAME.match(behind):
        return None
    if _GIVE.match(behind):
        return "deflection" if _BELTS.search(_said(scene)) else "give"
    taken = _TAKEN.search(ahead)
    for name, beside in _BESIDE:
        if beside.match(behind) and not taken:
            return name
    if distance := _distance(ahead, behind):
        return distance
    if _ALL_ROUND.match(behind) and _TOUCHES.search(_said(scene)):
        return "clearance"  # "it mustn't touch, there should be three millimetres all round"
    for name, deed in _BY_DEED:
        if deed.search(ahead):
            return "deflection" if name == "depth" and _is_pushed(scene, amount) else name
    return "deflection" if _is_pushed(scene, amount) else None


def are_of_two(scene: Scene, one: Amount, other: Amount) -> bool:
    """Whether words name two values of a sentence differently: "25 into it, at least 20 clear".

    Args:
        scene: the sentence.
        one: a value.
        other: another, behind it.
    """
    kinds = kind_of(one.unit), kind_of(other.unit)
    if kinds == ("time", "time"):
        first, second = (named_by_words(scene, each, "time") for each in (one, other))
        return None not in {first, second} and first != second
    sides = [around(scene, each)[1] for each in (one, other)]
    return kinds == ("length", "length") and bool(_INTO.match(sides[0]) and _CLEAR.match(sides[1]))


def spread_of(scene: Scene, amount: Amount, kind: str | None) -> str | None:
    """Return what is told of several that should be alike: "within half an ohm of each other".

    Args:
        scene: its sentence.
        amount: the value.
        kind: kind of quantity, None where it is unknown.
    """
    ahead, behind = around(scene, amount)
    told = _OF_EACH_OTHER.match(behind) and _WITHIN.search(ahead)
    apart = kind not in {"length", "angle", "time", None} and _APART.match(behind)
    hotter = kind == "temperature" and _HOTTER.match(behind)
    if not (told or apart or hotter or _DIFFERENCE.match(behind)):
        return None
    if kind is None or kind in {"length", "count", "ratio"}:
        return "difference"
    return f"difference in {kind.replace('_', ' ')}"


# "More than 20 degrees hotter than the return pipe" is no temperature of either.
_HOTTER = re.compile(r"(?:hotter|warmer|cooler|colder|higher|lower) than (?!that\b|this\b|it\b)")


def around(scene: Scene, amount: Amount) -> tuple[str, str]:
    """Return the words before an amount, from the last point on, and those behind it."""
    first = max(0, amount.first - _AHEAD)
    for at in range(amount.first - 1, first - 1, -1):
        if scene.tokens[at].low in {".", ";", "?", "!"}:
            first = at + 1
            break
    behind = between(scene.tokens, amount.last, min(len(scene.tokens), amount.last + _BEHIND))
    return between(scene.tokens, first, amount.first), behind


def _said(scene: Scene) -> str:
    return " ".join(token.low for token in scene.tokens)


def _is_pushed(scene: Scene, amount: Amount) -> bool:
    """Whether a value tells how far a thing gives: "push in the middle and you want twelve"."""
    said = " ".join(token.low for token in scene.tokens[: amount.last + _BEHIND])
    if _PUSHED.search(said) is None:
        return False
    others = [one for one in scene.amounts if one.last <= amount.first]
    return not any(kind_of(one.unit) == "length" and _TAKEN.search(said) for one in others)


_NOUN = r"\w+(?: of (?:the )?\w+| \w+)?"
# "Tip to the centre of the needle should be four", "coupler to the lock rollers, a quarter inch"
_FROM_TO = re.compile(
    rf"(?:^|[,.;] )(?:(?:and|then|now|so|from|the) )*(?P<one>{_NOUN}) to (?:the |its |your )"
    r"(?P<other>\w+(?: of (?:the )?\w+| \w+)??) ?,? ?"
    r"(?:(?:(?:should|must|wants?|has|have|needs?|ought) (?:to )?be|is|are|(?:you|i|we) (?:want|"
    r"have|get|need)|(?:you're|i'm|we're) (?:looking for|after|getting)|i've got|it's|that's)"
    rf")?{_SO_MUCH}"
)


def _distance(ahead: str, behind: str) -> str | None:
    """Return between which two things a length is told: "tip to the centre of the needle"."""
    found = _FROM_TO.search(ahead)
    if found is None or not (_is_noun(found["one"]) and _is_noun(found["other"])):
        return None
    one, other = found["one"], found["other"]
    if re.match(r"(?:on )?(?:each|either|both) sides?\b|clear\b", behind):
        return f"clearance between the {one} and the {other}"
    return f"distance from the {one} to the {other}"


_PLACES = words("bottom top end tip edge face centre center middle side heel toe floor ground sill")


def _is_noun(name: str) -> bool:
    """Whether words name a thing or a place on one, and no deed: "set the arm"."""
    table = trade_words()
    said = [word for word in name.split() if word not in {"of", "the"}]
    kinds = [table.kind_of(singular(word)) or table.kind_of(word) for word in said]
    known = [
        kind in {"part", "weak", "feature"} or word in _PLACES | table.modifiers
        for word, kind in zip(said, kinds, strict=True)
    ]
    return bool(said) and all(known)


_FEELER = re.compile(r"\bfeelers?\b")
_EDGE = re.compile(
    r"\bstraight ?edge\b(?: \w+){0,3}? (?:across|over|along)\b"
    r"|\b(?:with|using) (?:an?|the|my|your) straight ?edge\b"
)
_IN_LINE = re.compile(
    r"\b(?:pulleys?|sprockets?|sheaves?|couplings?|wheels?|in line|lines? up|lined up|aligned)\b"
)
_ROCKED = re.compile(
    r"\b(?:rock(?:ed|ing|s)?|lift(?:ed|ing)? (?:it|the \w+|up)|lever(?:ed|ing)?"
    r"|pr(?:ise|y)(?:d|ing)?|push(?:ed|ing)? and pull(?:ed|ing)?|in and out|up and down"
    r"|side to side|back and forth|wiggl\w+|waggl\w+)\b"
)


def named_by_tool(scenes: Sequence[Scene], scene: Scene, *, here: bool) -> str | None:
    """Return what is measured with the tool that is named, where no word tells it.

    Args:
        scenes: sentences of the recording.
        scene: the sentence.
        here: whether it is named in the sentence, or else just before.
    """
    near = _said(scene)
    before = scenes[scene.index - 1] if scene.index else None
    if not here:
        near = _said(before) if before and not before.amounts else ""
    if over := _OVER.search(near):
        return f"length over {over[1]}"
    if _EDGE.search(near):
        return "alignment" if _IN_LINE.search(near) else "flatness"
    if _FEELER.search(near):
        return "gap"
    three = " . ".join(_said(one) for one in scenes[max(0, scene.index - 2) : scene.index + 1])
    rocked = not here and BY_DIAL.search(three) and _ROCKED.search(three)
    return "play" if rocked else None


# "Lay the chain on the bench and measure over twenty links"
_OVER = re.compile(
    r"\bmeasur(?:e|ed|es|ing)(?: it| the chain)? (?:over|across|along) "
    r"((?:[a-z]+|\d+) (?:links|pitches|teeth|rollers|coils|threads|turns|plates))\b"
)
# "The gauge is set up at a radius of 200" tells where it stands, "at 30 mil from the end" too.
_WHERE = re.compile(r"\b(?:at|on|with) an? (?:radius|distance|height|diameter) of(?: about)?$")
# "Check the runout with a dial gauge | ten millimetres in from the edge"; what is, shall be or is
# set to so much is told of itself: "the play is 2 mm from the end".
_MEASURES = re.compile(
    r"\b(?:runout|run-out|thickness|diameter|bore|play|wear|ovality|taper|width|deflection|hardness"
    r"|wobble|flatness|parallelism|temperature|micrometer|calipers?|(?:dial|clock|bore) gauge)\b"
)
# "… with a dial gauge on a test bar, | 100 mm below the chuck"
_WITH_IT = re.compile(r"(?<=bar|uge|tor|ter|per|rel) ?,$")
_IS_SO_MUCH = re.compile(
    r"(?:\b(?:is|be|are|was|to|of|than|for|least|most|set|between|get|got|have|has|reads?"
    r"|says?|shows?)|'s|,|:|;)$"
)
_FROM_THERE = re.compile(
    r"(?:(?:in|down|up|back|out|away) from|from|below|above) (?:the|its|each|either|one|that)"
    r" [a-z-]+\b"
)


def is_where(scene: Scene, amount: Amount) -> bool:
    """Whether an amount only tells where something is measured: "at a radius of 200".

    Args:
        scene: its sentence.
        amount: the value.
    """
    before, behind = around(scene, amount)
    return _WHERE.search(before) is not None or tells_how_far(before, behind)


def tells_how_far(before: str, behind: str) -> bool:
    """Whether a length tells how far from an edge or end something else is measured.

    Args:
        before: the words before it in its sentence.
        behind: the words behind it.
    """
    told = _WITH_IT.sub("", before)
    measured = _MEASURES.search(told) is not None and not _IS_SO_MUCH.search(told)
    return measured and _FROM_THERE.match(behind) is not None


_IF_ANY = re.compile(
    r"\b(?:if|when|where|unless)\b(?: \w+){0,4} (?:feel|feels|see|find|get|got|have|has|is|there's)"
    r" (?:a|an|any|some)(?: \w+)?$"
)


def only_if(scene: Scene, at: int) -> bool:
    """Whether a word only names what may be there: "if you can feel a step, it's a new rod".

    Args:
        scene: the sentence.
        at: index of the word.
    """
    return _IF_ANY.search(between(scene.tokens, max(0, at - 9), at)) is not None
