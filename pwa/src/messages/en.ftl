# The words of every screen at the vessel. The desk's are in en.desk.ftl.
# What procedures and cautions say is data and is not here.

direction = ltr

product = Vesselside
page-title = { $title } · Vesselside
opening = Opening
home = Start
back = Back
dock = What to do next
not-found = Nothing here
mishap = Something went wrong on this phone. What is recorded is safe; what you pressed may not be done.
mishap-close = Close
screen-broken = This screen cannot be shown
try-again = Try again
record = The record
part-missing = This could not be loaded. Reach the office once, then open it again.

## The bar on every screen

standing-reading = Reading the records
standing-waiting =
    { $count ->
        [0] All records sent
        [one] 1 record waits here
       *[other] { $count } records wait here
    }
standing-refused =
    { $count ->
        [one] 1 record refused
       *[other] { $count } records refused
    }
standing-reached = Office reached { $time }
standing-never = Office not reached yet
log-doubt = The office's record does not fit: tell a manager
standing-update = New version is ready
alarm-button-gas = Gas alarm
alarm-button-emergency = SOS

## Gas alarm

alarm-leave = Leave now.
alarm-nobody = Do not go back for anyone.
alarm-call = Call { $number }
alarm-meet = Meet: { $place }
emergency = Emergency
alarm-over = Everyone is out and counted

## Not saved, log shut

not-saved = Not saved
not-saved-what = This phone could not keep the record. Nothing has been written down.
not-saved-do = Stay on this screen. Write the reading on paper, then press Try again.
log-blocked = Vesselside is open twice
log-blocked-do = Another window holds an older version of the records. Close it, then press Try again.
log-failed = The records cannot be opened
log-failed-do = This phone does not let Vesselside at its records. Free some space, close other apps, then press Try again. Use paper until it opens.

## Enrolling this phone

enrol-title = Enrol this phone
recovered = The browser lost this phone’s records

## Signing in

sign-in = Who are you?
sign-in-as = { $name }
sign-in-asking = Asking the office who works here.
sign-in-nobody = This phone does not know the people here yet. It must reach the office once.
sign-in-other = Someone else
sign-in-do = Sign in
sign-in-busy = Checking
sign-in-wrong = That is not right. Try again.
sign-in-wait = Too many tries. Wait { $time }.
sign-in-no-verifier = There is no signal, and you have not signed in on this phone before. Sign in once with a signal.
sign-in-lapsed = This phone has not reached the office for 14 days. It must reach it before anyone signs in.
sign-in-not-enrolled = The office no longer knows this phone. It must be enrolled again.
sign-in-unknown-person = This phone does not know this person.
locked = Locked
not-you = I am not { $name }
password = Password
pin-count =
    { $count ->
        [one] 1 digit entered
       *[other] { $count } digits entered
    }
pin-help = Your PIN has at least { $least } digits.
sign-out = Sign out
role-starter = New starter
role-brewer = Brewer
role-duty = Duty brewer
role-manager = Manager

## Start

home-running = Running now
home-who = { $name } · { $role }
door-work = Work at a vessel
door-work-what = The steps, the readings and the clock. For the hand who knows the job.
door-walk = Walk me through
door-walk-what = One step a screen, with why, how and what can hurt.
door-record = See the record
door-record-what = What is clean, what went wrong, what waits for a manager.

## Plant board and vessels

plant-title = Plant board
plant-known = As known at { $time }
plant-old = Not worked out anew; as known at { $time }
plant-none = The board cannot be worked out
plant-known-never = As this phone alone knows it
plant-empty = No vessels yet. A manager lists them at the desk, under Set up, Vessels.
plant-no-place = Elsewhere
plant-elsewhere = Not at a vessel
line-progress = { $done } of { $steps } steps done
line-next = Next: { $title }
line-hold = Hold: { $time } left
line-hold-over = Hold is over
line-findings =
    { $count ->
        [0] Nothing found against it
        [one] 1 thing found against it
       *[other] { $count } things found against it
    }
vessel-doubt = A reading behind this is in doubt
vessel-proved-until = Clean until { $time }
vessel-was-proved-until = Was clean until { $time }
vessel-sanitised-until = Sanitised until { $time }
vessel-gyle = Gyle { $gyle }
vessel-since = Since { $time }
vessel-chemical-since = Chemical is in it since { $time }
vessel-check-due = Next check of the line { $time }
vessel-running = Running here
vessel-last-clean = Last clean
vessel-never-cleaned = No clean of this vessel is known on this phone.
vessel-state-soiled = Soiled
vessel-state-rinsed = Rinsed, not proved
vessel-state-cleaning = Being cleaned
vessel-state-chemical = Contains chemical: do not open
vessel-state-co2 = CO2 atmosphere
vessel-state-pressure = Under pressure
vessel-state-hot = Hot
vessel-state-locked = Locked off
vessel-state-clean = Clean
vessel-state-sanitised = Sanitised
vessel-state-filled = Filled
vessel-state-hold = On hold
vessel-state-out = Out of use
vessel-kind-liquor-tank = Liquor tank
vessel-kind-mash-tun = Mash tun
vessel-kind-copper = Copper
vessel-kind-whirlpool = Whirlpool
vessel-kind-heat-exchanger = Heat exchanger
vessel-kind-fermenter = Fermenter
vessel-kind-yeast-vessel = Yeast vessel
vessel-kind-bright = Bright beer tank
vessel-kind-cask-line = Cask line
vessel-kind-keg-line = Keg line
vessel-kind-canning-line = Canning line
kind-cleaning = Cleaning
kind-brew = Brew day
kind-cellar = Cellar
kind-packaging = Packaging
kind-brewery = Brewery
kind-trouble = When it goes wrong
run-status-open = Open
run-status-finished = Finished
run-status-abandoned = Stopped early
start-do = Start
start-gyle = Gyle

## A run

run = Run
run-name = { $vessel } · { $title }
run-progress = Step { $number } of { $steps } · { $done } done
run-more = More
run-neighbours = Other steps
run-before = Step before
run-after = Step after
run-finish = Finish the run
engine-failed = The part of Vesselside that judges readings did not start. Nothing can be recorded until it does. Use paper meanwhile.
run-not-shown = This run cannot be shown; its records are safe and will be sent.
run-old = What you recorded is saved. This screen shows the run as it was before.
run-missing = This phone does not hold that run
run-missing-why = It may be older than phones keep, or made on a phone that has not reached the office.
run-missing-ask = Ask the office
last-none = No run on this phone yet
last-made = { $time } · { $what }
verdict-target = On target
verdict-advise = Advise
verdict-stop = Stop
limit = Should be { $limit }.
limit-source = ({ $source })
refused = This cannot be done yet
act-failed = Something went wrong on this phone. Nothing was recorded; try again.
step-numbered = { $number }. { $title }
step-why = Why
step-how = How
step-besides = { $count } more, if wanted
step-why-how = Why, how and what can hurt
step-shut = Not yet
step-enter = Enter: { $label }
step-again = Enter again: { $label }
step-choose = Choose: { $label }
step-settle = Settle: { $label }
step-sign = A second person signs
step-do = Done
step-next = Go to the next step
step-done = Done by { $person }, { $time }.
step-waits-second = Done by { $person }, { $time }. It waits for a second person’s signature.
step-signed = Signed by { $person }, { $time }.
step-skipped = Skipped by { $person }, { $time }: { $reason }
step-reopened = Open again: a reading it stood on was struck or is disputed.
step-reopened-short = Open again
steps-folded =
    { $count ->
        [one] 1 step done
       *[other] { $count } steps done
    }
step-status-shut = Not yet:
step-status-open = To do:
step-status-done = Done:
step-status-skipped = Skipped:
step-status-reopened = Open again:
field-optional = · optional
field-enter = Enter
field-again = Enter again
field-another = Enter another
field-work = Work it out
field-struck = struck
record-by = { $person }, { $time }
record-done = Done: { $title }
record-skipped = Skipped: { $title }
record-hold = Hold started: { $title }
record-entry = { $label }: { $value }
how-worked = worked out
how-scanned = scanned
how-paper = from paper

## Entries

enter-before = Last time here: { $value }
enter-keep = Record { $value } { $unit }
enter-keep-words = Record
enter-empty = Key the reading
enter-lot-help = As it is printed on the sack, drum or box.
enter-lot = Lot code
enter-text = In your own words
keypad = Number keys
keypad-point = Decimal point
keypad-sign = Plus or minus
keypad-back = Delete
work-use = Use { $value } { $unit }
work-key = Key it instead
work-for-reading = This is to be read with an instrument: { $instrument }. If a sum stands here instead, the record says so.
work-inputs = Give what the sum lacks
working-result = Result
working-inputs = What goes in
working-formula = How it is worked
working-steps = On the way
working-others = Also
working-assumptions = Taken for granted
working-sources = Where the formula comes from
working-source = { $title } ({ $kind })
working-mark = Take care: { $mark }
source-published = published
source-standard = standard
source-law = law
source-maker = maker’s figure
source-common-practice = common practice, no source
source-from-memory = from memory
photo-taken = taken
photo-take = Take a photo
photo-again = Take another photo
photo-wrong = This picture could not be kept. Take it again.
photo-waits = Waits on this phone for a signal
photo-sent = With the office

## Sums

sums = Sums
find = Find
shift = End of shift

## Cautions

cautions = What can hurt here
caution-title = What can hurt you here
caution-seen-title = See that it is so
caution-before-step = Before: { $step }
caution-first =
    { $count ->
        [one] Read the caution first
       *[other] Read { $count } cautions first
    }
caution-met =
    { $count ->
        [one] I have read this and it is so
       *[other] I have read these and they are so
    }
caution-seen = Seen: it is so
caution-still = Still so? Your next press at this step says yes.
caution-wear = Wear
caution-before = First of all
caution-minute = If it goes wrong: the first minute
caution-look = To be seen
caution-whence = Codes and sources

## Holding a press

hold-idle = Press and hold
hold-holding = Keep holding
hold-short = Hold it a little longer
hold-armed = Press once more to confirm

## Holds

hold-start = Start the hold, { $time }
hold-not-over = The hold is not over. Enter readings meanwhile.
hold-least = Hold for at least { $time }.
hold-held = Held for { $time }.
hold-stage-running = left
hold-stage-last = left: last minute
hold-stage-over = past the end of the hold
hold-progress = How much of the hold is over
hold-strike = Started by mistake: strike it
holds = Holds that run
hold-named = { $vessel }: { $step }
ring-sound = This phone sounds in the last minute and at the end.
ring-touch = Press anywhere once: a browser lets this phone sound only after that.
ring-vibration = This phone cannot sound: it only vibrates.
ring-quiet = This phone only vibrates, as was chosen on its own page.
ring-none = This phone can neither sound nor vibrate. Watch the clock.
ring-awake = The screen stays on.
ring-asleep = Keep the screen on: asleep, this phone stays silent.

## Strike, settle, sign

strike = Strike
strike-tick = Strike this tick
contested = Two people recorded this differently.
settle = Settle which counts

## Interlocks

interlock-stops = Stopped: { $title }
interlock-warns = Look ahead: { $title }
interlock-overridden = Overridden: { $title }
interlock-do = What to do
interlock-offers = What would do instead
interlock-offer = { $vessel }: { $state }, until { $time }
override = A duty brewer overrides this


## Words for the record

note-title = Write a note
deviate = Raise a deviation
answer-title = Answer it
pass-do = Not needed now
pass-reason = Not needed

## More

more-steps = All steps
more-deviations = Deviations to answer
paper-on = Keying in from paper: entries are marked so.
closed-finished = Finished
closed-abandoned = Stopped early
closed-left = Left as: { $state }
closed-findings = Found against it
closed-none = Nothing.
closed-vessel = To { $vessel }
closed-record = Open its record
sheet-print = Print

## This phone

phone-title = This phone
trust = What to trust, and after a loss

## Carrying records

carry = Carried records
carry-title = Carry this run to another phone
