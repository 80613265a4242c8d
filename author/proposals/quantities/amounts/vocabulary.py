"""Words the grammar of spoken quantities goes by, in lists."""

from __future__ import annotations

from author.proposals.language.fasteners import fastener_words


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


GO_ON = _words(
    """
    and or to at on in from for with by is are was were then not no so but if when until till
    sideways the that this it its we you i they as be should would will can must than before after
    again each per first total max maximum minimum min plus minus give right exactly here
    there now too also because which while up down out off all around roughly about ish better
    less under over above below between just into through past like thereabouts tops finally
    finish final cold hot dry wet sorry scratch make wait hang rather actually a an my your
    our his their these those only either inlet exhaust front rear let cuz cos coz though
    anyway okay ok whatever yeah yes guys folks please of torque turn set put check move slide
    leave keep take got get gets has have had do does did during using without across along
    behind beside against onto upon where how why dead bang spot smack fine lovely already
    running idling cranking static loaded unloaded still today even flat yet maybe perhaps probably
    """
)
# What somebody calls a value he is content with, or not.
APPROVING = _words(
    """
    good great nice happy grand sorted mint super cool spot bad horrible terrible rubbish garbage
    shocking way far close near enough ideal
    """
)
# The same, of no thing that could be counted.
PRAISE = _words(
    """
    sweet perfect golden magic beauty brilliant excellent bingo wonderful awesome champion bonzer
    lush smashing fab beautiful jackpot lovely
    """
)
MONTHS = _words(
    """
    january february april june july august september october november december
    """
)
MONEY = _words(
    """
    cost costs price priced paid pay pays cheap spend spent worth save quid money cheaper postage
    grand
    """
)
NO_UNITS = _words(
    """
    day days week weeks month months year years decade times time mile miles people guys
    subscribers views videos dollars dollar bucks quid euros euro cents pence p percent-sure
    zloty złoty krone kroner kronor rupee rupees naira pesos
    shore grit
    million billion stroke strokes blows passes more of them point pm am o'clock oclock th st nd rd
    """
)
OF_A_MAKE = _words(
    """
    is are a an they're big size all it's the in
    """
)
# What a bare size may be of: fasteners and what turns them. Plugs and glands have other sizes.
FASTENERS = (fastener_words() - _words("plug plugs gland glands")) | _words(
    """
    hex hexes socket sockets spanner wrench heads head key
    allen allens fitting fittings driver torx
    """
)
NAMES_BEFORE = _words(
    """
    number no nos # size step steps grade class type model mark mk part figure fig page item
    cylinder gear stage pass phase chapter section channel code version serial series iso din
    sae bs en astm position pole terminal port bay line lot batch room unit station level
    lesson episode video question option method rule tip highway route interstate ph pz t tx
    sn ref drawing bolt screw hole pin extension axis parameter heading tower pt
    """
)
JOINERS = _words(
    """
    deep long short impact wobble ball open ended end combination flat ring double offset hex
    allen cordless stubby flexible keyed drive torque box flare nosed by thin wall pneumatic
    electric hydraulic shop floor big small little new old square round steel brass copper
    rubber wood soft dead bottle bench two four six twelve point sided pole spline spark
    feeler tee t l nylon plastic diameter head socket button ratcheting
    """
)
DIMENSIONS = _words("deep thick long wide high tall proud apart")
"""What stands behind a length and says of what it is."""


CHARACTERISTIC_WORDS = _words(
    """
    gap clearance play float backlash lash runout depth torque pressure preload travel stroke
    deflection interference thickness diameter length width height tension pull load setting
    air overlap protrusion bore freeplay endfloat offset spacing pitch step taper wobble lift
    droop sag drop reading limit tolerance radius chamfer slack stretch stickout allowance
    soak wait cure temperature voltage current resistance turn turns spread crush nip shoulder
    undersize oversize angle bevel mark line difference hole holes slot groove cut recess land
    lip space hang
    """
)
THINGS = _words(
    """
    ender enders
    head heads socket sockets spanner spanners wrench wrenches key keys allen allens hex hexes
    bit bits
    drive driver drivers screwdriver drill drills reamer tap taps punch punches bolt bolts
    screw screws nut nuts stud studs pin pins hammer hammers mallet hose hoses pipe pipes tube
    tubes tubing plate belt belts chain bearing bearings seal seals gasket gaskets washer
    washers feeler feelers mandrel collet vice vise block blocks cutter cutters blade blades
    saw saws wheel wheels disc discs disk tyre tyres tire tires battery batteries fuse fuses
    bulb bulbs motor motors engine engines pump jack jacks press presses stand stands ratchet
    ratchets extension extensions torx bar bars rod rods stock cable cables wire wires cord
    rope brush brushes paintbrush can cans tin bottle jug tub drum bucket dowel dowels shackle
    hook chisel file files nail nails shim shims crowfoot breaker combination ring ended
    swivel impact collar bush bushes bushing elbow fitting fittings union coupling clamp
    clamps clip clips tie ties strap straps heatshrink supply adapter adaptor charger lamp
    light torch iron relay outlet socketry plug mill endmill parallel parallels square rule
    ruler tape caliper calipers micrometer gauge gauges indicator tester cap capscrew
    capscrews setscrew grub banjo flare spigot chuck arbor arbour lathe machine mower tractor
    truck trailer van bike cylinder tank reservoir range capacitor resistor regulator
    compressor gun nozzle jet jets needle valve rivet rivets staple staples board timber
    dowelling ply plywood sheet epoxy cable-tie wrenchs grit paper sandpaper emery weight
    grease oil thread threads spline splines wide-blade puller pullers stroke blow gland
    o-ring oring hub vee v-belt system circuit transformer inverter solenoid coil
    """
)
NO_DATUM = _words(
    """
    that this it them there here then now one two us me you start scratch him her
    """
)
ENDS_DATUM = _words(
    """
    and or to at on in for with by is are was then not no so but if when until till the that
    this it we you should would before after each max which here now right as wants want all
    first i'd i they up down goes go comes sits stands be about roughly around between
    measures reads gets get of a an because while there us me torque cold hot plus minus give
    """
)
FORCE = _words(
    """
    pull force spring tension push drag load clamp clamping
    """
)
WEIGHED = _words(
    """
    weigh weighs weighed weight heavy lift lifts lifting lump hammer carry back
    """
)
PRESSURE = _words(
    """
    gauge gauges suction discharge relief manifold accumulator nitrogen
    compressor tyre tyres tire tires pressure psi compression inflate pump pumped air boost
    regulator
    blow
    """
)
FLUID = _words(
    """
    oil fluid water coolant petrol diesel fuel fill filled pour poured litre litres syringe
    measuring-jug jug lube atf antifreeze brine solvent syrup milk mix varnish lubricant hardener
    thinner resin drain capacity grease adhesive
    """
)
ANGLES = _words(
    """
    turn turned rotate angle angled past tdc advance timing chamfer bevel bevelled tilt
    clockwise anticlockwise counterclockwise round around btdc before after torque
    degree-wheel protractor bend swing further another axis cut lean clock apart crosshatch
    rake helix bevels
    """
)
HOT = _words(
    """
    heat heated heating hot warm warmed oven temperature cool cooled freezer cold bath boil
    boiling hotplate thermostat thermometer iron bake baked cure cures heater gun coolant
    freeze chill room ambient soak preheat toasty kiln boils simmer superheat subcooling subcool
    infrared thermocouple melt melts melted solder hotter cooler warmer colder fridge frozen temp
    temps temperatures thermistor warms heats cools chilled caustic scald scalds scalding heaters
    griddle lukewarm warmish
    """
)
# What is warmed, or is warm when it matters how warm.
WARM = _words(
    """
    oil water milk fluid acid solution cleaner degreaser grease wax glue sealant resin paint tank
    dryer torch kettle stove burner steam air exhaust flue flow return outlet inlet gas brine
    refrigerant evaporator condenser heatsink winding windings glow ultrasonic dishwasher
    block housing casing sink soldering shop garage outside weather summer winter sun hands
    fingers touch blanket lamp flame stat wash rinse tap boiler radiator probe
    """
)
HEATED = _words(
    """
    heat heated heating oven solder soldering thermostat warm bake temperature temp degrees boils
    freezer rev revs rpm idle psi
    """
)
SETS = _words(
    """
    set setting sets torque tighten torqued adjust adjusted wrench should spec wants want
    needs need press drill cut turn bring heat fill pour leave aim target nominal
    """
)
GAUGES = _words(
    """
    micrometer micrometre mic mics mike vernier verniers calipers callipers gauge gauges gage
    indicator
    meter multimeter ohmmeter voltmeter tacho tachometer thermometer scale scales clock feeler
    feelers stopwatch timer timed counting plastigauge measure measured measuring reading
    readings probes leads clamp-meter dial tester
    """
)
