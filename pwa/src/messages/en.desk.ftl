# The desk's words.

desk = The desk
desk-needs = What needs me
desk-register = Register
desk-gyles = Gyles
desk-recipes = Recipes
desk-figures = Site figures
desk-devices = Phones
desk-quarantine = Quarantine
desk-unreachable = The office cannot be reached from here. This part of the desk needs it.
desk-not-manager = This part of the desk opens for a manager who has signed in with a signal.
desk-refused = The office did not accept that.

needs-nothing = Nothing needs you now.
needs-overrides = Interlocks overridden, last 90 days
needs-override = { $title }: { $overridden } of { $runs } runs
needs-override-redesign = More than 5 % overridden: this rule is to be redesigned.
needs-deviations =
    { $count ->
        [one] 1 run with a deviation to answer
       *[other] { $count } runs with deviations to answer
    }
needs-contested =
    { $count ->
        [one] 1 run with readings to settle
       *[other] { $count } runs with readings to settle
    }
needs-reviews =
    { $count ->
        [one] 1 run to review
       *[other] { $count } runs to review
    }
needs-vessels =
    { $count ->
        [one] 1 vessel’s clean ends soon or has ended
       *[other] { $count } vessels’ cleans end soon or have ended
    }
needs-until = Clean until { $time }
needs-was-until = Was clean until { $time }
needs-quarantine =
    { $count ->
        [one] 1 record in quarantine
       *[other] { $count } records in quarantine
    }
needs-quarantine-open = Look at the quarantine

register-filters = Which runs
register-count =
    { $count ->
        [one] 1 run
       *[other] { $count } runs
    }
register-none = No run fits. Change what is asked for above.
register-more = Show more
filter-all = All
filter-kind = Kind
filter-vessel = Vessel
filter-procedure = Procedure
filter-status = How it ended
filter-person = Person
filter-from = From
filter-to = To
filter-found = Found against it
filter-review = Review
column-when = Closed
found-some = Something
found-none = Nothing
found-none-short = Nothing
found-deviations =
    { $count ->
        [one] 1 deviation not answered
       *[other] { $count } deviations not answered
    }
review-waiting = Not reviewed
review-accepted = Accepted
review-rejected = Rejected
finding-late = late
finding-from-paper = from paper
finding-contested = disputed
finding-caution-unmet = caution not met
finding-skipped = step skipped
finding-hold-short = hold too short
finding-verdict-differs = judged otherwise
finding-unauthorised = without the right
finding-early = before its turn
finding-again = twice
finding-done-unready = done unready
finding-finished-early = finished early
finding-earlier-reopened = rests on a reopened step
finding-review-lapsed = changed after review
finding-sum-differs = sum differs
finding-second-same = signed by the same person

record-run = A run
record-no-vessel = Not at a vessel
record-here-only = The office cannot be reached: this is what this phone holds.
fact-status = How it stands
fact-opened = Opened
fact-closed = Closed
fact-reason = Why
fact-proofs = Proved
fact-review = Review
fact-procedure = Procedure
fact-version = version { $version }
fact-digest = Digest of the records
proof-process = process
proof-look = look
proof-residue = residue
proof-micro = micro
proof-sanitised = sanitised

story = What happened
story-received = received { $time }
story-not-received = not with the office yet
story-run-opened = Opened the run.
story-caution-met =
    { $count ->
        [one] Met the caution: { $cautions }
       *[other] Met the cautions: { $cautions }
    }
story-entry-made = { $label }:
story-entry-settled = Settled { $label }: { $target } counts. { $reason }
story-step-done = Done.
story-step-skipped = Skipped. { $reason }
story-hold-started = Started the hold of { $time }.
story-hold-ended = Ended the hold.
story-sign-given = Signed as second person: { $target }.
story-note-added = Note: { $text }
story-photo-added = Added a photo.
photo-of = Photo. { $of }
photo-lacking = The photo is not with the office yet. { $of }
photo-close = Close
story-deviation-raised = Raised a deviation: { $text }
story-overridden = Overrode an interlock: { $text }
story-override-check = checked instead: { $check }
story-deviation-answered = Answered the deviation: { $action }
story-struck = Struck: { $target }. { $reason }
story-run-finished = Finished the run.
story-run-abandoned = Stopped the run early. { $reason } Left as: { $left }.
story-run-reviewed-accepted = Reviewed and accepted. { $text }
story-run-reviewed-rejected = Reviewed and rejected. { $text }
story-unknown = A record of a kind this version does not know: { $type }.
story-superseded = entered again later
story-contested = disputed
story-typed = keyed as { $typed }
story-deviation-value = at { $value }; should be { $limit }
story-unanswered = not answered yet

review-title = Review it
review-again = Review it again
review-lead = Your word is signed and kept like any other record. It covers exactly the records above; it lapses if one is added.
review-text = Remarks (needed to reject)
review-accept = Accept
review-reject = Reject
review-not-here = This device does not hold the whole run yet. Try again when the office can be reached.

code-title = A code for a new phone
code-name = Who or what is it for?
code-make = Make a code
code-nameless = Say who or what it is for.
code-how = Enter it in Vesselside on the phone. It works once, for { $time } more.
code-qr = The code, for the camera of the new phone
code-over = The code is out of date.
code-done = Hide it
device-heard = Last heard { $time } at number { $number }
device-unheard = Enrolled { $time }, not heard since
device-clock =
    { $seconds ->
        [0] Its clock agrees.
       *[other] Its clock is { $seconds } seconds off.
    }
device-revoked = Revoked { $time }
device-revoke = Revoke
device-revoke-what = It can send and read nothing more. What it signed before stays valid; what it has not sent is not lost from it.
device-reason = Why?
device-reason-needed = Say why.
device-revoke-do = Revoke this phone

quarantine-lead = Stored as they came, but not believed: their signature or chain does not hold. They change nothing and are never deleted.
quarantine-none = Nothing is in quarantine.
quarantine-number = number { $number }
quarantine-when = Received { $day } { $time } as { $sequence }
quarantine-run = The run it names

## Recipes and brew sheets

brew-sheet = Brew sheet
recipes-none = No recipe has been entered yet.
recipe-new = New recipe
recipe-version = Version { $version }
recipe-volume =
    { $brews ->
        [one] { $volume } L
       *[other] { $brews } brews of { $volume } L
    }
recipe-next =
    { $manager ->
        [true] This becomes version { $version }. Gyles begun keep theirs.
       *[other] As worked out on this device.
    }
recipe-keep = Keep as version { $version }
recipe-faults =
    { $count ->
        [one] One figure is not right yet. It says so at its field.
       *[other] { $count } figures are not right yet. Each says so at its field.
    }
recipe-row = { $row } { $number }
recipe-row-in = Add a row: { $row }
recipe-row-out = Take out { $row } { $number }
recipe-optional = { $label }, if any
sheet-additions = Additions by time
addition-boil = { $minutes } min before the end
addition-whirlpool = Whirlpool
addition-dry = Fermenter
column-line = Figure
column-planned = Planned
column-actual = Read
column-difference = Difference
column-last = Last brew
column-site = Site’s figure
column-recipe = Recipe
column-version = Version
column-original = Original gravity
column-volume = Wort

figures-lead = Every brew sheet rests on these. A gyle already begun keeps the figures it was begun with.
figure-usual = Usually { $value }
figure-keep = Keep
figure-use = Use { $value } from now on

## Gyles

gyles-none = No run names a gyle yet.
gyle-title = Gyle { $gyle }
gyle-runs =
    { $open ->
        [0] { $count }
       *[other] { $count }, { $open } open
    }
gyle-brew = brew { $number }
gyle-next = To do next
gyle-beside = Planned against read
gyle-last = Beside it the last brew of this recipe:
gyle-here = No signal. This is worked out on this phone from the records it holds.
gyle-unread = Nothing of its brew sheet has been read yet.
gyle-says = What that says
gyle-curve = Fermentation
gyle-records = Its records
gyle-sheet = Its whole brew sheet
column-gyle = Gyle
column-begun = Begun
column-runs = Runs
column-when-read = Read
column-hours = Hours
column-gravity = Gravity
column-temperature = Tank, °C
curve-readings = The readings of the drawing
curve-said =
    { $count ->
        [one] Gravity and temperature by day, one reading; the table below holds the same.
       *[other] Gravity and temperature by day, { $count } readings; the table below holds the same.
    }
curve-no-forecast = A forecast needs three readings of gravity, the last below the first.
curve-gravity = Gravity
curve-warmth = Temperature
curve-before = Last brew, { $gyle }
curve-plan = Planned end
curve-forecast = Forecast, likely range
curve-degrees = { $degrees } °C
curve-day = { $day } d
