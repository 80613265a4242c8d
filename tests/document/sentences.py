"""Sentences as shops write them, invented: some that say all there is to say, some that do not."""

# An action each, of several trades; no rule about words or hazards has anything to say.
GOOD_ACTIONS = """
Drain the oil into a flat tray.
Undo the drain plug with a 17 mm socket.
Remove the four valve cover bolts from the outside inwards.
Turn the crankshaft clockwise until the timing mark meets the pointer.
Measure the valve clearance of No. 1 cylinder with a feeler gauge.
Lay the head gasket on the block with the word TOP upwards.
Tighten the head bolts in the order of the drawing in three passes.
Set the ignition timing to 10° before top dead centre.
With the piston at top dead centre, lock the flywheel with its pin.
If the plug is wet, dry it with a clean cloth.
If the thread is damaged, send the head to the machine shop.
Using the ring compressor, slide the piston into its bore.
Push the piston down with the handle of a hammer, ring by ring.
Fill the engine with 3.2 L of oil SAE 10W-40.
Loosen the lock nut, and turn the idle screw out by 1 1/2 turns.
Before refitting the pump, turn its shaft through one full turn by hand.
Lift the seat post out of the frame.
Shift the chain onto the smallest sprocket.
Undo the cable pinch bolt, and pull the cable out of the housing.
Screw the left-hand crank arm off with the crank puller.
Cut the housing square, e.g. with cable cutters.
Route the cable along the down tube, incl. the guide under the bottom bracket.
Turn the barrel adjuster clockwise, half a turn at a time, until the chain runs quietly.
Check that the quick-release lever closes against the fork.
Check whether the chain gauge drops into the chain at the 0.75 % mark.
Spin the wheel and watch the gap between rim and brake pad.
Wind the bar tape from the end of the bar to the stem.
Fit the 6203-2RS bearing with its marked face outwards.
Press bearing BW-101 in by its outer ring.
Screw the M16 × 1.5 nut onto the axle until its collar touches the washer.
Screw in both class 12.9 bolts finger-tight.
Drill four 6.8 mm holes 22 mm deep at 3, 6, 9 and 12 o'clock.
Tap the holes M8 with cutting oil.
Drill and tap the hole for the M6 screw.
Clean and dry the taper of the spindle.
Ream the bore to 12 H7 at 150 r/min.
Face the end of the bar until the saw marks are gone.
Deburr all edges of the plate with a fine file.
Break the sharp edges of the keyway with a stone.
Set the tailstock to zero with the test bar between the centres.
Move the saddle against the stop, and lock it.
Indicate the vice jaw along the X axis, and note the reading.
Clamp the work on two parallels, approx. in the middle of the vice.
Turn the handwheel counter-clockwise to take up the backlash.
Bolt the motor mount to its rails.
Slide the coupling halves together until the gap takes the 3 mm gauge.
Renew the gasket between pump housing and cover.
Grease the sealing lip with a thin film.
Drive the mechanical seal home with the 30 mm sleeve.
Prime the pump through the filling plug until water without bubbles comes out.
Close the discharge valve, then open the suction valve by one turn.
Listen at the bearing with a stethoscope for one minute.
When the gland drips once in ten seconds, stop tightening.
Loosen the packing gland nuts evenly, one flat at a time.
Pull the old packing rings out with the hooked tool.
Turn the shaft by hand and feel for drag.
Unbolt the impeller nut; it has a left-hand thread.
Take the filter out of its frame, and hold it against the light.
Vacuum the fins of the evaporator from top to bottom.
Straighten bent fins with a fin comb of the same pitch.
Set the thermostat to 21 °C, and wait 15 minutes.
Connect the gauge set to both service ports.
Evacuate the system to 500 microns.
Measure the voltage across the contactor coil.
Wire the fan as in the diagram on the door.
Label each wire with the number of its terminal.
Pull the condensate hose off its spout, and blow it through by mouth.
Undo the three screws under the rubber feet.
Lift the lid, and unclip the front edge with a plastic lever.
Pull the kettle base off at an angle of 45°.
Descale the boiler with citric acid-free cleaner.
Put the door seal into its groove, starting at the bottom.
Swap the worn carbon brushes for new ones, 6 × 9 × 17 mm.
Turn the drum by hand and listen for scraping.
Pry the cover off, working round it from the notch.
Plane the edge down to the pencil line.
Sharpen the plane iron at 25°, and hone it at 30°.
Rub the glue into both faces with a stiff brush.
Clamp the joint for 30 min. at 20 °C.
Saw on the waste side of the line.
Sand with the grain, first with 120 grit and then with 180 grit.
Countersink the holes until the screw heads lie below the surface.
Chisel the mortise from both faces to the middle.
Set the fence with the square against the stop.
Wipe off squeezed-out glue with a damp cloth.
Unsolder the three legs of the regulator with solder wick.
Solder the new IC in, pin 1 at the white dot.
Measure the resistance between test points TP1 and TP2.
Discharge capacitor C4 through a 1 kΩ, 5 W resistor.
Plug the ribbon cable in with its red edge at pin 1.
Wear a wrist strap, and clip it to the chassis.
Press and hold the reset button for 10 s.
Set the bench supply to 12.0 V and its limit to 0.5 A.
Write the serial number into the record sheet.
Compare the part number, e.g. TW-16, with the list of parts.
Repeat steps 3 to 5 for the other side.
Have a second person hold the frame level.
Tell the foreman which seat is worn.
Do not turn the spindle while the pin is in.
Never lever against the sealing face.
Always begin with the screw nearest the hinge.
Carefully work the gasket loose with a plastic scraper.
Slowly let the clutch lever out.
Now turn the key to ON.
First, mark both halves of the coupling with paint.
Again measure the depth at all three places.
To free the cover, press both tabs inwards.
By hand, turn the spindle through two full turns.
From below, push the pin out of the hinge.
At the same time, pull the lever towards you.
On the bench, lay the rotor on two V-blocks.
After ten turns, read the dial again.
While the helper holds the shaft, undo the nut.
Once the glue has set, take the clamps off.
In the order A, C, B, D, tighten the four screws.
For each blade, measure the distance to the fence.
Without turning the shaft, slide the key into its slot.
As soon as the needle moves, stop turning.
Where the cable enters the box, wrap it with tape.
Check oil level with the tractor on level ground.
Make sure that the pin stands proud on both sides.
Ensure the lever is at N before the cover is closed.
See that no thread of the cloth is left in the bore.
Verify that the reading is between 4.5 and 5.5 V.
Keep the spanner on the lower nut, and undo the upper one.
Hold the bolt, turn the nut, and count the turns.
Lower the table until it rests on both blocks.
Dry the plug and the socket with a lint-free cloth.
Clear the swarf from the coolant channel.
Level the machine to 0.05 mm/m in both directions.
Center the work in the four-jaw chuck.
True the wheel until the indicator swings less than 0.5 mm.
Back the cutter off by one turn of the handle.
Test the brake at walking pace.
Record the four readings on the sheet.
Switch the lamp to 2 and watch the pointer.
Start at the drive end, and work outwards.
Stop the drill when the point breaks through.
Drain plug: loosen it by two turns, and let the oil run out.
Left side first: slide the pin out towards the hinge.
Bring No. 3 piston to the top (T mark in the window).
Tighten nut A to the spec below (see fig. 3).
Mark the position of the bracket with a scriber (both sides).
Pull the strap tight, and buckle it.
Screw the jar lid on until it is leak-tight under water.
Push the probe far enough in to touch the bottom.
Leave a gap as required by the card of the machine.
Remove the clip, if fitted, from the hose end.
Turn the screw until it just touches the shim.
Look up the shim in the table of the card.
Close the lid at 9:30 a.m. by the clock on the wall.
Rinse with 0.5 L of water at 40 °C max. for 2 min.
Put about a spoonful of flux on the joint.
Glue the 1/8 in. dowels into their holes.
Fit the 3/8-16 UNC stud with its short thread downwards.
Read the gauge at 25 %, 50 % and 75 % of the stroke.
Fold the tab over the nut, and leave the other two straight.
Turn the adjusting ring to the mark between 2 and 3.
Check for play by rocking the wheel at 12 and 6 o'clock.
Check the warning light in the dash.
Hang the danger tag on the breaker handle.
Stick the caution label below the switch.
Take the dust cap off the valve.
Slide the live centre into the tailstock.
Wait until the hub is no longer hot to the touch of a thermometer.
Blow the chips away with the hand bellows.
Shrink the sleeving with hot air.
Rinse the tank with hot water.
Refit the spring-loaded plunger.
"""

# Something else than an action: key of a criterion or a spec, and its text.
GOOD_TEXTS = """
accept: No scores that a fingernail catches on
accept: The pin stands proud by the height of its chamfer
accept: Good contact marks over the whole width of the tooth
accept: It passes the go gauge and stops the no-go gauge
accept: Both lamps light up
accept: The needle stays between the two red marks
accept: No oil at the joint after ten minutes
accept: The colour is the same all round
accept: Nothing moves, hums or lights up
accept: The right lever stands higher than the left one
accept: Even wear over both pads, no cracks
accept: It snaps back by itself, three times out of three
accept: All four feet touch the plate
accept: The disc turns freely and does not rub
accept: The O-ring lies in its groove without a twist
note: Driven-out bearings are scrap, even if they still turn
note: A new belt stretches, so the reading falls within the first hour
note: The nut has a left-hand thread
note: Keep the old shim for the record
note: The warning lamp goes out by itself after a while
note: The lock washer is single use
note: Sharpen the tool beforehand
note: The second washer hides under the first
reason: The ring seals only with its lip towards the oil
reason: A worn block lets the blade twist
reason: Chips under the ring would tilt it
reason: The screw in the middle carries the load
reason: Pressure on the inner ring would dent the races
characteristic: Gap between rotor and housing
characteristic: Tightness of the chain, middle of the lower run
characteristic: Time until it stands still
where: middle of the longer strand
where: about the middle of the stroke
where: both bearing seats, across and along
what: The open side of the clip looks away from the direction of travel
what: The sealing lip points to the oil
what: The marks on both gears face each other
"""

# Rule, then the text in which it has something to say, an action where no key stands before.
BAD_TEXTS = """
wording.actions | Undo the four screws, lift the cover off, and pull the gasket out.
wording.actions | Drain the oil. Remove the filter.
wording.actions | Loosen the nut; take the washer off; slide the wheel from the axle.
wording.actions | Clean the bore, measure it in two planes, then oil the seat.
wording.actions | Remove the clip, disconnect the hose, remove the filter and insert a new one.
wording.actions | Tighten the bolts crosswise. Check the gap.
wording.actions | Press the pin out, then turn the lever, then lift the drum out.
wording.actions | Remove the cap (keep it clean), fill the tank and refit the cap.
wording.actions | Carefully lift the lid. Then unplug the fan.
wording.actions | Unsolder the legs, pull the part out and clean the holes.
wording.sentences | Undo the nut. It has a left-hand thread.
wording.sentences | Press the bearing in. The shield looks outwards.
wording.sentences | Drain the tank. This takes about a minute.
wording.sentences | Turn the shaft by hand. It must move freely.
wording.sentences | Use socket No. 5. The other one slips.
wording.length | Set it so as to see the tip of it at the end of the run of the cam on its top face.
wording.imperative | The cover is removed.
wording.imperative | The nut must be tightened.
wording.imperative | You now remove the cover.
wording.imperative | You should turn the shaft by hand.
wording.imperative | Removing the cover
wording.imperative | Removal of the cover
wording.imperative | Installation of the new seal.
wording.imperative | Nut is tightened with the torque wrench.
wording.imperative | Drive belt must be dry.
wording.imperative | All four screws have to be replaced.
wording.imperative | Then the wheel is put on.
wording.imperative | Next, you lift the lid.
wording.imperative | If the nut is loose, it must be tightened.
wording.imperative | After cleaning, the bearing is pressed in.
wording.imperative | Removes the cover from the pump.
wording.imperative | Removed the old gasket and cleaned the face.
wording.imperative | It is important to clean the bore.
wording.imperative | This step removes the bearing.
wording.imperative | We take the wheel off.
wording.imperative | The old gasket
wording.imperative | Torque wrench should be set first.
wording.imperative | Measuring the bore in two planes.
wording.imperative | Your glasses stay on.
wording.imperative | Each bolt must be oiled.
wording.condition | Tighten the nut if it is loose.
wording.condition | Replace the belt if cracks are seen.
wording.condition | Clean the plug if it is black.
wording.condition | Refit the old ring unless it is bent.
wording.condition | Turn the screw out, if the lamp stays dark.
wording.condition | Measure the bore and send the hub away if it is worn.
wording.condition | Stop the drill if it binds.
wording.and_or | If the seal is cracked and the shaft is scored or rusty, send the pump away.
wording.and_or | when: the lamp is on and the buzzer sounds or the door is open
wording.and_or | when: the ring is bent and/or the groove is worn
wording.and_or | When the belt is worn or cracked and the pulley is sound, renew the belt.
wording.negative | If the valve is not open, turn its handle.
wording.negative | when: the switch is not on
wording.negative | If the pawl isn't engaged, push it in.
wording.vague | Add a little oil to the bearing.
wording.vague | Put some grease on the lip.
wording.vague | Tighten the screw firmly.
wording.vague | Adjust the belt as required.
wording.vague | Clean the housing properly.
wording.vague | Turn the screw until it is tight.
wording.vague | Use a suitable puller.
wording.vague | Apply sufficient sealant to the flange.
wording.vague | Turn the knob a few times.
wording.vague | Cut the hose approximately 50 mm from the end.
wording.vague | Bend the bracket by about 5 mm.
wording.vague | Oil the chain from time to time.
wording.vague | Replace the filter if necessary.
wording.vague | Clean the gears, shafts, etc.
wording.vague | Leave enough slack in the cable.
wording.vague | Push the hose on a bit further.
wording.vague | accept: Adequate contact pattern
wording.vague | accept: The nut is tight
wording.vague | what: The seal is properly seated
wording.vague | where: in several places
wording.reckoned | Tighten the nuts to 50 % of the torque.
wording.reckoned | Set the gap to half the value.
wording.reckoned | Cut the rod 10 mm longer than the old one was, and add 2 mm to the length.
wording.reckoned | Subtract the first reading from the second.
wording.reckoned | Choose a shim 0.05 mm thinner than the gap.
wording.reckoned | Fill the tyre to 10 % less than before.
wording.reckoned | Calculate the shim from both depths.
wording.reckoned | Note the difference between the two readings.
wording.reckoned | Set the preload to twice the normal load.
wording.reckoned | Read the average of three measurements.
wording.reckoned | accept: The reading plus 0.1 mm is inside the limits
wording.acceptance | accept: OK
wording.acceptance | accept: Good
wording.acceptance | accept: It is in good condition.
wording.acceptance | accept: Satisfactory
wording.acceptance | accept: Pass
wording.acceptance | accept: The bearing is OK
wording.acceptance | accept: All parts should be fine
wording.acceptance | accept: Looks good
wording.acceptance | accept: As expected
hazards.too_late | note: Be careful, the edge cuts
hazards.too_late | note: WARNING the spring is strong
hazards.too_late | note: "Caution: do not touch the terminals"
hazards.too_late | reason: "Danger! The drum may turn"
hazards.too_late | note: Beware of the spring behind the cover
hazards.too_late | note: Mind your fingers when the lid closes
hazards.too_late | Remove the cover (caution – glass inside).
hazards.too_late | note: Watch out for the pin
hazards.no_message | Unhook the spring while it is still under tension.
hazards.no_message | Take the pan out while the oil is hot.
hazards.no_message | Blow the passages out with compressed air.
hazards.no_message | note: The upper terminals of the isolator stay live
hazards.no_message | Move the load with the hoist.
hazards.no_message | note: The wheel may fall when the nut is off
hazards.no_message | With the engine running, read the oil pressure.
hazards.no_message | Neutralise the acid with soda.
hazards.no_message | Wash the parts in petrol.
hazards.no_message | note: The solvent is highly flammable
hazards.no_message | Sweep the brake dust out of the drum.
hazards.no_message | reason: There is a pinch point between the rollers
hazards.no_message | Heat the hub with a blow torch.
hazards.no_message | note: The charged capacitor sits behind the coil
"""
