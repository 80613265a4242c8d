"""Words by which the rules tell an order from a description, in common workshop English."""

from __future__ import annotations


def words(text: str) -> frozenset[str]:
    """Return the words of a text as a set."""
    return frozenset(text.split())


# Orders that are hardly ever names of things in a shop text.
CLEAR_VERBS = words(
    """
    add adjust agitate align allow apply arrange ask assemble assess attach avoid await bake balance
    be bring build bypass calibrate call carry chamfer choose clarify collect combine commence
    compare confirm connect consult continue convert counterbore countersink dampen deburr decide
    deflate degas degrease demagnetise demagnetize depress depressurise depressurize describe
    desolder detach determine dig dilute disable disassemble discard disconnect disengage dismantle
    dismount dispose dissolve divide do don double-check ease eject elevate enable enclose energise
    energize engage engrave enlarge ensure enter equalise equalize erase establish evacuate examine
    expand expose extend fasten fetch fill find flatten follow gather get give go grab grind hang
    have heave hoist identify immerse immobilise immobilize incline indicate inflate inform inject
    insert inspect install insulate introduce invert isolate join keep knock leave lengthen let
    listen locate loosen lubricate maintain make maneuver manoeuvre moisten neutralise neutralize
    nudge observe obtain orient overhaul peen perform pour prepare pressurise pressurize prevent
    prise proceed protect provide pry put quench raise re-check re-fit re-grease re-install
    re-tighten re-torque read reapply rearrange reassemble reattach rebuild recharge recheck reclaim
    reconnect recover recycle redo reduce refer refill refit regrease regulate reinsert reinstall
    release relieve reload relocate remeasure remember remount remove renew reopen repack replace
    reposition reprogram reroute rerun resolder restore resume retain retension retighten retract
    retrieve retry rewire rinse rotate roughen rout scrape scribe scuff secure segregate select send
    separate sharpen shorten slacken slip smear soak soften solder stiffen stir stow straighten
    substitute suck suspend swap synchronise synchronize take tamp tease tell tighten unblock unbolt
    uncap unclamp unclip uncouple uncover uncrimp undo unfasten unfold unglue unhitch unhook
    uninstall unlatch unload unlock unpack unplug unroll unscrew unseat unsolder untie untwist
    unwind unwrap verify warn widen wiggle wipe withdraw write yank zero
    """
)
# Orders that are names of things or properties as well: "tag the switch", "hang a tag on it".
OTHER_VERBS = words(
    """
    air anchor back bag balance baste bead bed bend blank bleed block blot blow bolt bond bore
    bottom brace braze break bridge brush bump bush butt calliper cap catch cement center centre
    change charge check chisel chock circle clamp clean clear clip clock close coat coil comb
    complete compress control cool count couple cover crack crank crimp cross cure curl cushion cut
    cycle dab date dial dip direct discharge document double dowel drag drain draw dress drift drill
    drive drop dry dust earth edge empty exchange extract face feed feel file finish fire fit fix
    flare flatten flip flush fold form forward free function fuse gauge glue gouge grease grip
    groove ground guard guide halve hammer hand harden heat hinge hit hold hone hook hose index
    initial jack jam jiggle jog joint key label lace lap lash latch lay lead level lever lift line
    load lock log look loop lower lube mark mask match mate measure meet melt mill mix mop mount
    move nail nick nip notch note offer oil open order pack pad paint park part paste patch pause
    peel pick pilot pin pinch pipe pivot place plane plate plug polish pop position post pot power
    preload press prime probe process program prop pull pump punch purge push rack rake ram rasp
    reach ream record repeat reseat reset rest restart return reuse reverse rig ring rivet rock roll
    rough round route rub run sand saw scan scoop score scrap scratch screen screw scrub seal search
    seat see service set shake shape shave shear shield shift shim short show shut sign siphon size
    sketch skim slide sling slit slot smooth snap sort space spin splash splice split sponge spray
    spread spring square squeeze squirt stack stake stamp stand star start steady steam step stick
    stitch stop store strap stretch strike string strip support surface sweep swing switch swivel
    tack tag tap tape taper tension test thin thread thumb tie tilt time tin tip toggle tool top
    torque touch trace track train transfer transport trap trial trigger trim trip true try tuck
    tune turn twist use vacuum varnish vent view wait warm wash watch wax wear wedge weigh weight
    weld wet wick wind wire work wrap zip
    """
)
VERBS = CLEAR_VERBS | OTHER_VERBS
# Looking, waiting and holding belong to the action beside them and are no further one.
ATTENDING_VERBS = words(
    """
    allow avoid be continue do ensure have hold keep leave let note observe repeat see wait watch
    """
)
# "Check if it turns": here the condition is what is to be found out.
LOOKING_VERBS = words(
    """
    ask assess check compare confirm count decide determine ensure examine feel find inform
    inspect know listen look measure note observe read record report see show tell test try
    verify watch write
    """
)
# What may stand between a verb and its object, or behind a verb without one.
PARTICLES = words(
    """
    about across along apart around aside away back by clear down fast forward free home in
    inwards loose off on open out over round shut through tight together under up upright
    upwards downwards outwards sideways
    """
)
# What begins the object of a verb.
OBJECT_OPENERS = words(
    """
    a all an any both each either every everything four her his it its my new no old one
    only other our several six some that the their them these this those three two your # eight
    """
)
# What begins the subject of a description.
ARTICLES = words("a an her his its my our some that the their these this those your")
SUBJECTS = words("he i it nobody one she someone somebody there they we you")
QUANTIFIERS = words("all any both each either every few many most neither no two three four")
# What begins words that come before the order: a condition, a place, a time, a way.
OPENERS = words(
    """
    about above across after against along although among around as at because before behind
    below beneath beside between beyond but by despite during except for from given if in inside
    instead into like near of off on once onto opposite out outside over per provided regardless
    seen since so still than through to together toward towards under underneath unless until
    up upon viewed when whenever where wherever whether while with within without working
    """
)
FINITE = words(
    """
    are aren't can can't cannot could couldn't had has have is isn't may might must mustn't need
    needs ought shall should shouldn't was wasn't were weren't will won't would wouldn't gets
    """
)
# Behind one of these a sentence goes on about something else than its order.
SUBORDINATORS = words(
    """
    after and as because before but how if once or since so than that though till unless until
    what when where whereas whether which while who whom whose why
    """
)
LINKS = words("and but or then plus")
ADVERBS = words(
    """
    afterwards again also always anew bottom-up crosswise diagonally else finally first freely
    hand-tight just lastly later likewise meanwhile never next now only please quite second
    simply slow soon straight then third thus today twice very
    """
)
# They end in -ly and are no adverbs.
NOT_ADVERBS = words("apply assembly early family fly jelly ply rely reply supply multiply")
NOT_PARTICIPLES = words("bring cling fling ping ring sling spring sting string swing wring")
