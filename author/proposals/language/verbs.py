"""The verbs with which people say what they do at a machine, and all their forms.

One list and the rules of spelling do for the verbs that take things apart, mend them and put
them together; a library of word forms brings megabytes of data for words that are never needed
here.
"""

from __future__ import annotations

from functools import cache

from author.checks.verbs import CLEAR_VERBS, VERBS, words

# Said on a film and seldom written in a procedure, and the verbs of the trades.
_OF_THE_SHOP = words(
    """
    abrade aim anneal anodise anodize autoclave backfill backlight bang bash batten batter
    bead-blast belt bench-test bevel bin blast bleach blue buff bundle bung burnish burp bust
    button buy cant carve caulk centre-punch chalk chase chill chop chuck cinch clench click
    clonk clout coax cock collar come commission convince cork crate crop cross-check crosscheck
    crosscut cup daub de-energise de-energize de-tension deaerate debond debur decant decoke
    defrost degauss deglaze degum degunk dehumidify demist derust descale desludge detangle
    detension dink dink disarm disinfect dislodge ditch divert dob dollop douse dovetail dowse drape
    drizzle dry-fit dump dunk elongate embed emboss enamel encapsulate epoxy etch exercise
    extinguish extricate extrude eyeball fabricate feather fettle fillet fine-tune fish flex
    flick fling float flood forge freeze fumigate galvanise galvanize glaze goop grit-blast
    grout gut hacksaw hand-tighten haul heap heat-shrink heft hem home hoover humidify
    impregnate infill inlay interleave intonate jab jemmy jimmy joggle jostle jump-start junk
    kick kill knead knurl lacquer lag laminate launder linish lob lock-out loctite lodge lop
    magnetise magnetize mallet manhandle massage mend mic mike miter mitre moisturise mortise
    mould muffle muscle neaten nestle nibble normalise nut pare passivate perforate persuade
    ping planish plaster plonk plop pluck plumb plunge poise poke powder powder-coat pre-drill
    pre-fill pre-fit pre-heat pre-load predrill prefill preheat presoak prick prod prove pulse
    pulverise putty rap ratchet rattle re-seat re-thread rebate recess reef reel reglue reheat
    render reseal retap rethread retorque rip sand-blast sandblast sandpaper scooch scoot scotch
    scour scrunch sew shackle sheathe shellac shelve shimmy shine shore shot-blast shove shred
    shuffle sift sight silicone sit skive slack slake slap slather slice slop smack smother snick
    snip
    snub snug soap soda-blast sop spackle spank spike splay splint spokeshave spool spot-face
    spot-weld spotface sprag sprinkle spritz squeegee squish stab stabilise stabilize stain
    staple stash steam-clean steep stencil sterilise sterilize stipple stone straddle stroke strop
    stuff
    submerge swab swage sweat swill swirl swish sync synch syphon tauten tear temper test-fit
    tether thaw thicken throw thump tidy tint topcoat toss tow tram trash trepan trickle tuft
    tug tweak tweeze twiddle undercoat unpeg unpick unpin unstake unstick unthread untuck upend
    upset valet vapour-blast veneer ventilate vibrate vulcanise wad waggle walk waterproof
    weather-strip weatherproof weave wet-sand whack whip whisk whittle winch winkle wire-brush
    wobble worm worry wrangle wriggle wring zap
    """
)
# With these a person talks, sees or has; they ask for nothing at the machine.
TALK = words(
    """
    admit agree apologise apologize argue be believe bet call care carry come comment complain
    describe discuss do enjoy expect explain feel find forget give go guess happen hate have head
    hear help hope imagine introduce know laugh learn leave like live look love make meet mention
    miss mind need notice pay pick point prefer pretend promise read realise realize reckon remember
    say see seem share show sit sleep start stick stop subscribe suggest suppose talk tell thank
    think try turn understand use visit wait want warn watch welcome wish wonder work worry wrap
    """
)
# Of the talking verbs these ask for work when they have an object of the trade behind them.
WORKING_TALK = words(
    """
    carry do feel find give go head leave look make pick start stick stop turn try use wait watch
    work wrap remember help point read sit
    """
)
# What is done away from the machine, or says where a part is.
_ELSEWHERE = words("buy come sit")
# Said of the job and its parts; they are no work by themselves.
_WITH_ODD_FORMS = words("be have know say hear lose hide fall ride think wear lie bite show send")
_IRREGULAR = {
    "beat": "beat beaten", "begin": "began begun", "bend": "bent bent",
    "bind": "bound bound", "bite": "bit bitten", "bleed": "bled bled", "blow": "blew blown",
    "break": "broke broken", "bring": "brought brought", "build": "built built",
    "burst": "burst burst", "buy": "bought bought",
    "catch": "caught caught", "choose": "chose chosen", "cling": "clung clung",
    "come": "came come", "cut": "cut cut", "dig": "dug dug", "do": "did done",
    "draw": "drew drawn", "drive": "drove driven", "fall": "fell fallen", "feed": "fed fed",
    "feel": "felt felt", "find": "found found", "fit": "fitted fitted",
    "fling": "flung flung", "freeze": "froze frozen", "get": "got gotten",
    "give": "gave given", "go": "went gone", "grind": "ground ground", "hang": "hung hung",
    "have": "had had", "hear": "heard heard", "heat-shrink": "heat-shrunk heat-shrunk",
    "hide": "hid hidden", "hit": "hit hit", "hold": "held held", "inlay": "inlaid inlaid",
    "keep": "kept kept", "knock": "knocked knocked", "know": "knew known", "lay": "laid laid",
    "lead": "led led", "leave": "left left", "let": "let let", "lie": "lay lain",
    "lose": "lost lost", "make": "made made", "meet": "met met", "offset": "offset offset",
    "put": "put put", "read": "read read", "ride": "rode ridden", "run": "ran run",
    "say": "said said", "see": "saw seen", "seek": "sought sought", "send": "sent sent",
    "set": "set set", "sew": "sewed sewn", "shake": "shook shaken",
    "shear": "sheared sheared", "shine": "shone shone", "show": "showed shown",
    "shred": "shredded shredded", "shrink": "shrank shrunk", "shut": "shut shut",
    "sink": "sank sunk", "sit": "sat sat", "slide": "slid slid", "sling": "slung slung",
    "slit": "slit slit", "speak": "spoke spoken", "spin": "spun spun", "split": "split split",
    "spread": "spread spread", "stand": "stood stood", "stick": "stuck stuck",
    "strike": "struck struck", "string": "strung strung", "sweep": "swept swept",
    "swim": "swam swum", "swing": "swung swung", "take": "took taken", "tear": "tore torn",
    "tell": "told told", "think": "thought thought", "throw": "threw thrown",
    "undo": "undid undone",
    "undercut": "undercut undercut", "upset": "upset upset", "wear": "wore worn",
    "weave": "wove woven", "wind": "wound wound", "withdraw": "withdrew withdrawn",
    "withstand": "withstood withstood", "wring": "wrung wrung", "write": "wrote written",
}  # fmt: skip
_MORE_FORMS = {
    "am": "be", "is": "be", "are": "be", "was": "be", "were": "be", "been": "be", "being": "be",
    "does": "do", "goes": "go", "has": "have",
    "tying": "tie", "lying": "lie", "stringed": "string", "shined": "shine",
}  # fmt: skip
# Forms that are names of things or say how things are far oftener than what was done.
UNSURE_FORMS = words("bit bound felt found ground lay left saw worn lead bore broken stuck")
WORKING = VERBS | _OF_THE_SHOP
# "A drop of blue": an order only where nothing but an order can stand.
_NAMES_RATHER = words("blue")
ALL = (WORKING | TALK) - words("quite hers")
WORK = WORKING - (TALK - WORKING_TALK) - _ELSEWHERE
CLEAR = (
    CLEAR_VERBS
    | words(
        """
        bash chuck clonk coax degunk dunk jiggle lob nudge persuade plonk plop poke pry shove
        slather
        snug spritz squirt toss unhook untuck waggle whack wriggle torque prise retorque re-torque
        hand-tighten clean push pull lift lower slide tap press check drain clamp rinse wash
        """
    )
) - words("be do find give go have let tell describe don't double-check leave send warn keep")
# What a prefix before a known verb makes another of: "un-" and "de-" take back, so that
# "unpinned" is done and "unsupported" is not. Before any other verb "re-" does it again.
_FASTENING = words(
    """
    bag bend block bolt box buckle button cap chain clamp clip clog coil cork couple cover crate
    crimp dog fasten fold freeze glue hitch hook jam key kink lace lash latch load lock mask mount
    nail pack peg pick pin plug reel rivet roll screw seal seat shackle sheathe solder spool stack
    stake staple stick stitch strap string tack tangle tape thread tie twist weld wind wire wrap zip
    """
)
_PREFIXED = {
    "un": _FASTENING,
    "de": words(
        """
        bond bur burr carbonise clamp clutter coke couple energise energize frost fuel gas gauss
        glaze grease humidify ice lime magnetise magnetize mast mount oil pressurise pressurize
        rate rust scale sludge solder tension wax water wire
        """
    ),
    "back": words("bevel bleed blow cut drill drive fill flush purge seat wash weld wind"),
    "over": words("bend bore charge coat drill fill grease lap oil ream stitch stretch tighten "
                  "torque turn wind"),
}  # fmt: skip
# Names of things, and verbs of another meaning, that begin like verbs with "re-".
_NOT_PREFIXED = words(
    """
    ready recap recess recoil record redress reel refer refuse regard relay relent relight remain
    remark remit rent report rebound review reserve reside resign resin resist resort respect
    respond resound restart retail retire retort revolve reverse reach overlap backwind
    """
)
_LEAST_STEM = 3
_VOWELS = frozenset("aeiou")
# Words that keep their last letter single, and longer ones that double it.
_NO_DOUBLE = words("blow draw screw sew fix wax box loosen tighten open fasten slacken listen")
_DOUBLE = words("admit forget refer transfer begin regret unplug unzip crosscut backlog")


def _doubled(base: str) -> str:
    if base in _DOUBLE:
        return base + base[-1]
    if (
        len(base) > 2
        and base[-1] not in _VOWELS
        and base[-1] not in "wxy"
        and base[-2] in _VOWELS
        and (base[-3] not in _VOWELS or (base[-3:-1] == "ui" and base[-4:-3] == "q"))
        and base not in _NO_DOUBLE
        and sum(letter in _VOWELS for letter in base.replace("qu", "q").split("-")[-1]) == 1
    ):
        return base + base[-1]
    return base


def _parted(word: str) -> tuple[str, str] | None:
    """Return prefix and rest of a word that may be a verb with one: "un", "pinned"."""
    if word in _NOT_PREFIXED:
        return None
    for prefix in ("re", *_PREFIXED):
        if word.startswith(prefix):
            size = len(prefix) + (word[len(prefix) : len(prefix) + 1] == "-")
            if len(word) - size >= _LEAST_STEM:
                return word[:size], word[size:]
    return None


def _made(prefix: str, base: str | None) -> str | None:
    """Return the verb that a prefix and a verb make, or None where they make none."""
    if base is None or prefix + base in _NOT_PREFIXED:
        return None
    fits = base in _PREFIXED.get(prefix.rstrip("-"), WORK)
    return prefix + base if fits else None


def forms(base: str) -> tuple[str, str, str, str]:
    """Return "-s", "-ing", past and participle of a verb."""
    parted = _parted(base)
    if parted is not None and _made(*parted) and base not in _IRREGULAR:
        third, ing, first, second = forms(parted[1])
        before = parted[0]
        return before + third, before + ing, before + first, before + second
    third = base + "es" if base.endswith(("s", "x", "z", "ch", "sh", "o")) else base + "s"
    if base.endswith("y") and base[-2:-1] and base[-2] not in _VOWELS:
        third = base[:-1] + "ies"
    drop = base.endswith("e") and not base.endswith(("ee", "oe", "ye")) and base != "be"
    stem = base[:-1] if drop else _doubled(base)
    past = stem + "ed"
    if base.endswith("y") and base[-2:-1] and base[-2] not in _VOWELS:
        past = base[:-1] + "ied"
    irregular = _IRREGULAR.get(base)
    if irregular is not None:
        first, second = irregular.split()
        return third, stem + "ing", first, second
    return third, stem + "ing", past, past


@cache
def _tables() -> tuple[dict[str, str], dict[str, str], dict[str, str], dict[str, str]]:
    tables: tuple[dict[str, str], ...] = ({}, {}, {}, {})
    for base in sorted(ALL - {"be"}):
        # "How that came out" is said of parts, and nobody does it.
        known = forms(base)[: 2 if base == "come" else 4]
        for table, form in zip(tables, known, strict=False):
            table.setdefault(form, base)
            other = _other_spelling(base, form)
            if other is not None:
                table.setdefault(other, base)
    return tables[0], tables[1], tables[2], tables[3]


def _other_spelling(base: str, form: str) -> str | None:
    """Return "levelled" for "leveled": both are written."""
    if base[-1] == "l" and form.startswith(base) and form[len(base) : len(base) + 1] in {"i", "e"}:
        return f"{base}l{form[len(base) :]}"
    return None


def _base_in(table: dict[str, str], word: str) -> str | None:
    """Return the verb a form belongs to, one with a prefix too."""
    found = table.get(word)
    if found is not None:
        return found
    parted = _parted(word)
    base = table.get(parted[1]) if parted is not None else None
    return None if parted is None else _made(parted[0], base)


@cache
def base_of_third(word: str) -> str | None:
    """Return the verb behind "takes", or None."""
    return _base_in(_tables()[0], word)


@cache
def base_of_going(word: str) -> str | None:
    """Return the verb behind "taking" or "takin", or None."""
    table = _tables()[1]
    return _base_in(table, word) or (_base_in(table, word + "g") if word[-2:] == "in" else None)


@cache
def base_of_past(word: str) -> str | None:
    """Return the verb behind "took", or None."""
    return _base_in(_tables()[2], word)


@cache
def base_of_done(word: str) -> str | None:
    """Return the verb behind "taken", or None."""
    return _base_in(_tables()[3], word)


@cache
def is_work(word: str) -> bool:
    """Whether a word in its base form can ask for work at a machine."""
    if word in WORK:
        return True
    parted = _parted(word)
    return parted is not None and _made(*parted) is not None


@cache
def _all_forms() -> dict[str, str]:
    """Return the base of each form of the verbs of work, and of the odd forms of some others."""
    found = {base: base for base in sorted(WORKING - _NAMES_RATHER)} | _MORE_FORMS
    # What is written oddest is surest: "wound" is of "wind".
    known = sorted(
        (WORKING | _WITH_ODD_FORMS) - _NAMES_RATHER, key=lambda base: (base not in _IRREGULAR, base)
    )
    for base in known:
        for form in forms(base)[0 if base in WORKING else 2 :]:
            found.setdefault(form, base)
            other = _other_spelling(base, form)
            if other is not None:
                found.setdefault(other, base)
    return found


@cache
def base_of(word: str) -> str | None:
    """Return the base form of a verb, or None where the word is no form of a known verb.

    Args:
        word: in small letters.

    Returns:
        ``take`` for ``took``, ``tap`` for ``tapping``, ``tape`` for ``taping``, ``unpin`` for
        ``unpinned``.
    """
    found = _all_forms().get(word)
    if found is not None:
        return found
    parted = _parted(word)
    base = _all_forms().get(parted[1]) if parted is not None else None
    return None if parted is None else _made(parted[0], base)


def is_ing(word: str) -> bool:
    """Whether a word is the "-ing" form of a known verb."""
    return word.endswith("ing") and base_of(word) not in {None, word}
