# The desk's words.

desk = The desk
desk-today = Today
desk-deviations = Deviations
desk-cleanings = Cleaning register
desk-register = Register
desk-gyles = Gyles
desk-recipes = Recipes
desk-procedures = Procedures
desk-figures = Site figures
desk-behind =
    { $count ->
        [one] 1 run has records that are still being worked in: it stands here as it was before.
       *[other] { $count } runs have records that are still being worked in: they stand here as they were before.
    }
desk-vessels = Vessels
desk-instruments = Instruments
desk-people = People
desk-labels = Labels
desk-devices = Phones
desk-administration = Administration
desk-quarantine = Quarantine
desk-trust = What to trust
desk-unreachable = The office cannot be reached from here. This part of the desk needs it.
desk-not-manager = This part of the desk opens for a manager who has signed in with a signal.
review-desk-shut = Your desk shut after 20 minutes without a call to the office. Sign out, sign in with your password, and press again.
desk-failed = Something went wrong on this phone, and this part of the desk cannot be shown.
desk-refused = The office did not accept that.

announced =
    { $count ->
        [one] 1 announcement
       *[other] { $count } announcements
    }
announced-what = New phones, secrets set, and sign-ins refused in a row. If none of you did it, revoke the phone and give new PINs.
announced-away = Put away what is shown
announced-all = All administration
administration-lead = Who did what to people, phones, procedures and figures. Each stands in the log, signed by the server, without names: they are looked up as they are now.
and = { " " }and{ " " }
secret-pin = PIN
secret-password = password
admin-when = { $person }, { $day } { $time }
admin-by-nobody = from before this was written down
admin-by-command-line = The command line
admin-by-server = The server by itself
admin-unknown = Something that this version has no words for: { $kind }.
admin-person-changed = { $person } is { $role }.
admin-person-changed-added = { $person } was added as { $role }.
admin-person-changed-name = { $person } was given this name.
admin-person-changed-role = { $person } is { $role } now.
admin-person-changed-status = { $person } works here again as { $role }.
admin-person-changed-erased = The name of { $person } was forgotten.
admin-person-retired = { $person } has left.
admin-person-secret-set = { $person } has a new { $kinds }.
admin-sign-in-refused = { $tries } sign-ins in a row were refused.
admin-sign-in-refused-as = { $tries } sign-ins in a row as { $person } were refused.
admin-sign-in-refused-on = { $tries } sign-ins in a row were refused on the phone { $device }, whoever was named.
admin-sign-in-refused-as-on = { $tries } sign-ins in a row as { $person } were refused on the phone { $device }.
admin-person-signed-in = { $person } signed in on { $device }: { $how }.
admin-person-signed-out = { $person } signed out on { $device }: { $how }.
admin-sign-ins-kept = From here on the record has the sign-ins.
way-in-pin = PIN, taken by the office
way-in-password = password, taken by the office
way-in-offline = with no signal, by the phone’s word
way-in-idle = the desk was left alone
way-in-before = from before sign-ins were kept
way-in-none = no sign-in proves it
admin-code-made = A code was made for a phone to be called { $name }.
admin-device-enrolled = New phone: { $device }.
admin-device-enrolled-code = New phone: { $device }, by the code for { $code }.
admin-device-lost =
    { $count ->
        [0] Its browser had thrown away the records of { $was }; none came back from its journal.
        [one] Its browser had thrown away the records of { $was }; 1 came back from its journal.
       *[other] Its browser had thrown away the records of { $was }; { $count } came back from its journal.
    }
admin-device-lost-unknown = Its browser had thrown away what was on it, and it had no journal.
admin-device-revoked = The phone { $device } was revoked: { $reason }
admin-procedure-published = Procedure { $id } version { $version } was published.
admin-recipe-changed = Recipe { $id } version { $version } was kept.
admin-instrument-changed = Instrument { $id } was changed.
admin-vessel-changed = Vessel { $id } was changed.
admin-setting-changed = { $name } was set to { $value }.
admin-event-redacted = A text was taken out of a record: { $reason }
admin-event-redacted-asked = A text was taken out of a record, as { $person } asked: { $reason }
admin-event-redacted-photo = A photo was taken out of a record: { $reason }
admin-event-redacted-photo-asked = A photo was taken out of a record, as { $person } asked: { $reason }
admin-record-judged-again = A record that was set aside was judged again, now that its phone is known.
admin-log-restored = A copy of the record was put back; it goes on from there.
admin-log-doubted = The phone { $device } says that the record does not go on from what it was shown before.
admin-announcement-put-away = Announcements were put away.

today-wrong = What can’t wait
today-nothing = Nothing is wrong that the office knows of.
today-hold = { $vessel } is on hold
today-standing = { $vessel }: chemical in it, nothing recorded since { $time }
today-rejected = { $vessel }: the review did not accept its clean
today-deviation = { $where }: { $text }
today-deviations-more =
    { $count ->
        [one] 1 more deviation to answer
       *[other] { $count } more deviations to answer
    }
today-check = { $vessel }: its check was due { $time }
today-instrument = { $name } failed its check
today-silent = { $name }: not heard since { $time }
today-filling = May be filled
today-fill-now = Now
today-fill-sanitise = After a sanitise
today-fill-no = Not now
today-fill-none = None
today-reviews =
    { $count ->
        [0] No run to review
        [one] 1 run to review
       *[other] { $count } runs to review
    }
today-reviews-oldest = Those that wait longest come first.
today-cleans = Cleans
today-others = Daily checks and the rest
today-walk =
    { $count ->
        [one] Review it
       *[other] Review { $count }, one after another
    }
today-routine =
    { $count ->
        [one] 1 with nothing found
       *[other] { $count } with nothing found
    }
today-routine-lead = No finding, no deviation, nothing struck. Each gets a review of its own, signed by you.
today-routine-accept =
    { $count ->
        [0] Accept those ticked
        [one] Accept 1 run
       *[other] Accept { $count } runs
    }
today-routine-going = { $done } of { $count } reviewed
today-routine-left = Not reviewed: { $name }. { $why }
queue = Runs to review
queue-place = { $number } of { $count }
queue-back = Before
queue-next = Next
queue-end = That was the last one.
queue-empty = No run is left to review here.
needs-overrides = Interlocks overridden, last 90 days
needs-override = { $title }: { $overridden } of { $runs } runs
needs-override-redesign = More than 5 % overridden: this rule is to be redesigned.
needs-faults =
    { $count ->
        [one] 1 run that the office cannot work out: its records are safe
       *[other] { $count } runs that the office cannot work out: their records are safe
    }
needs-fault = Shown as it last stood. Tell whoever keeps Vesselside going: { $fault }
needs-contested =
    { $count ->
        [one] 1 run with readings to settle
       *[other] { $count } runs with readings to settle
    }
needs-vessels =
    { $count ->
        [one] 1 vessel’s clean ends soon or has ended
       *[other] { $count } vessels’ cleans end soon or have ended
    }
needs-instruments =
    { $count ->
        [one] 1 instrument to check or to take out of use
       *[other] { $count } instruments to check or to take out of use
    }
needs-until = Clean until { $time }
needs-was-until = Was clean until { $time }
needs-quarantine =
    { $count ->
        [one] 1 record in quarantine
       *[other] { $count } records in quarantine
    }
needs-quarantine-open = Look at the quarantine

deviations-filters = Which deviations
deviations-count = Not answered: { $open }. Followed up: { $pending }. Closed: { $closed }.
deviations-none = No deviation fits.
deviation-state = State
deviation-state-open = Not answered
deviation-state-pending = Followed up
deviation-state-closed = Closed
deviation-since = Since { $time }, by { $person }
deviation-limit = { $value }, where it should be { $limit }
deviation-record = Open the record
deviation-do = Answer it
deviation-do-again = Close it, or answer again
deviation-done = What was done about it
deviation-cause = Where it came from
deviation-prevention = What keeps it from coming again
deviation-owner = Who sees to that
deviation-due = By
deviation-nobody = Nobody yet
deviation-close = Answer and close it
deviation-follow = Answer it, and follow it up
deviation-follow-lead = Follow it up where something is still to be done: say what, who sees to it, and by which day.
deviation-never-mind = Not now
deviation-answered = Answered { $time } by { $person }
deviation-due-by = { $person }, by { $day }
deviation-overdue = { $person }, by { $day }: that day is over

cleanings-filters = Which cleans
cleanings-none = No clean fits.
cleanings-csv = As a table for a spreadsheet (CSV)
cleanings-table = Cleans, the last first
cleaning-strength = Strength
cleaning-from-to = { $start } to { $end }
cleaning-coldest = Lowest
cleaning-minutes = In band
cleaning-minutes-band = { $minutes } min
cleaning-minutes-held = { $minutes } min by the clock
cleaning-rinse = Rinse
cleaning-review-lapsed = { $verdict }, then changed

register-filters = Which runs
register-count =
    { $total ->
        [one] Showing { $shown } of 1 run that matches, of { $held } in all.
       *[other] Showing { $shown } of { $total } runs that match, of { $held } in all.
    }
register-none = No run fits. Change what is asked for above.
register-more = Show more
register-narrow = There are more. Ask for less above, or for a shorter time.
register-usual = Back to all cleaning
filter-closed = Finished or stopped early
filter-sort = Order
sort-last-opened = Newest first
sort-opened = Oldest first
sort-vessel = By vessel
sort-procedure = By procedure
sort-person = By person
sort-review = By review
sort-last-found = Most found first
views-title =
    { $count ->
        [0] Saved views
        [one] Saved views: 1
       *[other] Saved views: { $count }
    }
views-name = Name for what is shown now
views-save = Keep this view
views-forget = Remove
views-forget-named = Remove the view { $name }
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
found-deviations-open = A deviation to answer
found-deviations-answered = An answered deviation
found-stop = A reading at stop
found-advise = A reading at advise
found-short = Cut short: a hold, or steps left undone
found-struck = A strike
found-late = A record received over a day late
found-clock = A phone’s clock in doubt
found-paper = An entry from paper
found-unproved = A record by someone not signed in
count-deviations-open =
    { $count ->
        [one] 1 deviation not answered
       *[other] { $count } deviations not answered
    }
count-deviations-answered =
    { $count ->
        [one] 1 deviation answered
       *[other] { $count } deviations answered
    }
count-stop =
    { $count ->
        [one] 1 reading at stop
       *[other] { $count } readings at stop
    }
count-advise =
    { $count ->
        [one] 1 reading at advise
       *[other] { $count } readings at advise
    }
count-short =
    { $count ->
        [one] 1 hold or finish cut short
       *[other] { $count } holds or finishes cut short
    }
count-struck =
    { $count ->
        [one] 1 strike
       *[other] { $count } strikes
    }
count-late =
    { $count ->
        [one] 1 record received late
       *[other] { $count } records received late
    }
count-clock =
    { $count ->
        [one] 1 record by a clock in doubt
       *[other] { $count } records by a clock in doubt
    }
count-paper =
    { $count ->
        [one] 1 entry from paper
       *[other] { $count } entries from paper
    }
count-unproved =
    { $count ->
        [one] 1 record by someone not signed in
       *[other] { $count } records by someone not signed in
    }
review-waiting = Not reviewed
review-accepted = Accepted
review-rejected = Rejected
review-lapsed =
    { $verdict } { $day }, lapsed { $since }: { $added ->
        [0] it was of other records
        [one] 1 record added
       *[other] { $added } records added
    }
filter-review-waiting = Not reviewed, or lapsed
filter-review-accepted = Accepted
filter-review-rejected = Rejected
filter-review-lapsed = Lapsed
finding-late = recorded after it was closed
finding-from-paper = from paper
finding-contested = disputed
finding-caution-unmet = caution not met
finding-skipped = step skipped
finding-hold-short = hold too short
finding-verdict-differs = judged otherwise
finding-unauthorised = without the right
finding-person-not-proved = no sign-in there
finding-desk-closed = reviewed with no desk open
finding-own-work = accepted by who did it
finding-own-work-alone = accepted by who did it, with nobody else there
finding-early = before its turn
finding-again = twice
finding-done-unready = done unready
finding-finished-early = finished early
finding-earlier-reopened = rests on a reopened step
finding-review-lapsed = changed after review
finding-sum-differs = sum differs
finding-second-same = signed by the same person
finding-unknown-procedure = procedure not held
finding-procedure-differs = another text of the procedure
finding-not-opened = its opening has not arrived
finding-opened-twice = opened twice
finding-bad-data = record not readable
finding-bad-time = time not readable
finding-clock-ahead = phone’s clock ahead
finding-seen-ahead = says it had seen more than there was
finding-taken-out = text taken out
finding-too-many = more than is weighed
finding-unknown-step = no such step
finding-unknown-field = no such entry
finding-bad-value = not what is asked for
finding-typed-differs = not what was keyed
finding-unit-differs = another unit
finding-unjudged = could not be judged
finding-sum-for-reading = a sum for a reading
finding-target-unknown = names an unknown record
finding-strike-refused = strike without effect
finding-void = void, to be entered again
finding-finished-twice = finished twice
finding-override-refused = override without effect
finding-overridden = overridden
finding-never-skipped = never to be skipped
finding-left-chemical = stopped with chemical in
finding-filled-unproved = filled, not proved fit
finding-dosed-filled = chemical into a full vessel
finding-released-unfit = released, not shown fit
finding-packaged-unfit = packaged, not shown fit
finding-let-go-unknown = let go with a lot unknown
finding-held-since = a check was not good
finding-check-missed = a check was missed
finding-review-rejected = not accepted at the review
finding-stale-authority = right was gone by then
finding-clock-offset = phone’s clock was off
finding-received-late = received late
finding-gap = records before it are missing
finding-device-revoked = from a phone that was shut out

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
fact-present = Who was there
present-row =
    { $records ->
        [one] { $person }, { $device }: 1 record; { $how }
       *[other] { $person }, { $device }: { $records } records; { $how }
    }
fact-version = version { $version }
fact-digest = Digest of the records
paper-head = Head of the log: { $size } records, signed { $time }
paper-how = The square code says the line above: the log, the run, the hash over its records, and size and root of the head. After “check --printed” or “verify --printed” it tells whether this paper still fits the log.
paper-qr = Run, digest and head of the log
paper-no-head = Printed without a head of the log: the office was not reached, or the record was still growing.
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
story-answer-cause = came from: { $text }
story-answer-prevention = kept from coming again by: { $text }
story-answer-owner = { $person } sees to it
story-answer-owner-due = { $person } sees to it, by { $day }
story-answer-pending = not closed yet
story-struck = Struck: { $target }. { $reason }
story-run-finished = Finished the run.
story-put-away = Put the run away. { $reason }.
story-run-abandoned = Stopped the run early. { $reason } Left as: { $left }.
story-run-abandoned-nowhere = Stopped the run early. { $reason }
story-run-reviewed-accepted = Reviewed and accepted. { $text }
story-run-reviewed-rejected = Reviewed and rejected. { $text }
story-unknown = A record of a kind this version does not know: { $type }.
story-superseded = entered again later
story-void = does not count: what it rests on has changed
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

people-gone = Left
person-nameless = Name forgotten ({ $id })
person-add = Add a person
person-add-do = Add
person-name = Name
person-role = Role
person-role-starter = Works every procedure step by step. A brewer signs where the procedure asks for one.
person-role-brewer = Works alone, and signs for a new starter where a procedure asks for a brewer.
person-role-duty = A brewer who may also override an interlock, with a reason that stays in the record.
person-role-manager = Reviews what was done, and opens this desk with a password.
person-pin = PIN
person-pin-help = Six digits or more, none easily guessed. For every phone here.
person-password = Password
person-password-help = Opens the desk. Several words are easier to keep than signs.
person-no-name = Give the name.
person-no-pin = Give a PIN.
person-no-password = A manager needs a password as well.
person-keep = Keep
person-kept = Kept.
person-manager-needs = Give a password too, below, once the role is kept: without one the desk stays shut.
person-secrets = A new PIN
person-secrets-lead = After the loss of a phone, or when it was forgotten. It counts on each phone from when that phone next reaches the office; who was signed in is signed out. That it was set stands in the record, never what it is.
person-secret-do = Set it
person-secret-set = Set. Tell it in person, not in writing.
person-left = Leaving
person-left-lead = Phones hear of it when they next reach the office, and then take no more sign-ins in this name. What was recorded stays.
person-left-do = { $name } has left
person-gone = Has left. Was: { $role }.
person-back = Works here again
person-forget = Forget the name
person-forget-lead = Name, PIN and password are wiped at the office. The records stay, under a number instead of the name. This cannot be undone.
person-forget-do = Forget the name for good
person-forgotten = The name is forgotten. The records stay under this number.

labels-lead = Print them, cut them out and fix them where wet gloves can reach: the camera of a phone reads the code and opens the page of the vessel or the instrument, with no signal too.
labels-where = The codes hold the address { $address }. Labels printed under another address stop working when that one goes.
labels-print = Print the labels
labels-vessels = Vessels and places
labels-all = Print all of these
labels-none = Print none of these
label-code = The code for { $name }
label-print = Print { $name }

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
device-revoke-what = It can send and read nothing more. What it signed before stays valid; what it has not sent is not lost from it. If it was lost or stolen, everyone who signed in on it needs a new PIN: six digits can be worked out from a phone in minutes.
device-revoked-pins = If it was lost or stolen: has everyone who signed in on it a new PIN?
device-phone-here = this phone
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

figures-lead = What this site gives for itself: read each on its label, plate, drawing or consent, put it right, sign it. A run or gyle already begun keeps the figures it was begun with.
figures-count = { $unsigned } of { $all } not signed yet.
figures-which = Show
figures-unsigned = Not signed, or far from usual
figures-all = All
figures-of-all = All procedures
figures-by = By procedure
figures-left = { $count } to sign
figures-sign-lead = A clean or a canning run asks for its figures to be signed once. Look at each below first; your name stands with it.
figures-sign =
    { $count ->
        [one] Sign it as it stands
       *[other] Sign these { $count } as they stand
    }
figures-gas = Gas
figures-chemical = Chemical
figures-pressure = Pressure
figures-heat = Heat
figures-entry = Going in
figures-machine = Machines
figures-body = Back, ears, hands
figures-beer = Beer, hours and the site
figure-yes = Yes
figure-no = No
figure-usual = Usually { $value }: { $source }.
figure-far = Far from the usual { $value }. Is the unit right?
figure-signed = Signed by { $person }, { $time }
figure-unsigned = As shipped
figure-office = the office
figure-sign = Sign
figure-back = Back to { $value }
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
gyle-moves = Moves and losses
column-move = Move
column-way = From, to
column-out = Out
column-in = In
column-lost = Lost
column-lost-so-far = Lost so far
move-other = Gyle { $gyle }
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

## Procedures

procedure = Procedure
procedure-new = New procedure
procedure-open-file = Open a file
procedure-drafts = Not published yet, kept on this device
procedure-untitled = Without a title
procedure-draft-of = to become version { $version }, changed { $time }
procedure-version = Version { $version }
procedure-versions = Versions
procedure-shipped = Came with the program, { $time }
procedure-next = Edit a copy as version { $version }
procedure-copy = Copy to a new procedure
procedure-copy-title = { $title }, copy
procedure-download = Save as a file
procedure-edit = Edit a procedure
procedure-becomes =
    { $id ->
        [none] To become version { $version }
       *[other] { $id }, to become version { $version }
    }
procedure-preview = Preview
procedure-publish = Publish …
procedure-throw = Throw this draft away
procedure-go-on = Back to the draft
procedure-kept-here = The draft is kept on this device until it is published.
procedure-check = What is still to be mended
procedure-checking = The office is going over the draft.
procedure-unchecked = Not gone over just now: { $why }
procedure-faults =
    { $count ->
        [0] Nothing to mend.
        [one] One thing to mend.
       *[other] { $count } things to mend.
    }
procedure-row-faults = { $count } to mend
procedure-itself = The procedure
procedure-out-of-turn =
    { $newest ->
        [0] A new procedure begins with version 1.
       *[other] Version { $newest } has been published; this draft was to become version { $version }.
    }
procedure-look = Look at version { $version }
procedure-count-on = Make this version { $version }
procedure-short-name = Short name
procedure-short-name-help = Records name the procedure by it. It never changes once published.
procedure-none = –
procedure-add = Add: { $what }
procedure-take-out = Take out: { $what }
procedure-row-add = Add: { $row }
procedure-up = Up
procedure-down = Down
procedure-moved = { $row } moved to place { $number } of { $count }.
procedure-gone = { $row } { $number } taken out.
procedure-picked-out = Take out
procedure-caution-add = Add a caution
procedure-needs-before = The step before it
procedure-needs-any = Nothing, as it stands
procedure-needs-none = No step
procedure-needs-these = Certain steps
procedure-needs-which = These steps
procedure-needs-add = Add a step
procedure-setting-offer = Take over a figure the site has
procedure-from = from
procedure-to = to
procedure-feeds = What { $title } is given
procedure-rest = The rest, as in the file
procedure-rest-text = The rest
procedure-rest-help = Everything without a field of its own, a line each.
bound-open = No limit
bound-figure = A figure
bound-setting = A site figure
bound-input = An answer on opening
bound-entry = A reading
bound-block = A sum
bound-value = Figure
bound-which = Which
bound-plus = Plus
bound-sum = The sum, as in the file
procedure-preview-title = As the phone shows it
procedure-preview-lead = Each screen as a new starter sees it. Nothing here is recorded.
procedure-preview-step = Step
procedure-preview-before = Screen before
procedure-preview-after = Next screen
procedure-preview-place = Screen { $number } of { $count }
procedure-publish-title = Publish version { $version }
procedure-first = A new procedure
procedure-against = What is different from version { $version }
procedure-note = What is new, and why
procedure-note-help = It stays in the record beside the version.
procedure-note-needed = Say what is new, and why.
procedure-open-runs = Open runs keep the version they were opened with. New runs take this one once their phone has heard of it.
procedure-publish-do = Publish version { $version }

difference = Difference
difference-none = Nothing differs.
difference-from = From
difference-to = To
difference-where = Where
difference-before = Before
difference-after = After
difference-added = Added.
difference-removed = Taken out.
difference-moved = Moved.
difference-changed = Changed.

## Instruments

instruments-none = No instrument is listed yet. List each by the name on its tag.
instrument-new = List an instrument
instrument-doubts-open =
    { $count ->
        [one] 1 run in doubt, not answered
       *[other] { $count } runs in doubt, not answered
    }
instrument-last-good = Last good check
instrument-due = Next check due
instrument-doubts = What it put in doubt
instrument-answered = answered
instrument-written = What is written of it
instrument-which = Which instrument
instrument-name = Name, as on its tag
instrument-name-taken = One of this name is listed already.
instrument-kind = Kind
instrument-place = Where it is kept
instrument-no-place = Anywhere
instrument-days = Checked every so many days
instrument-use = Use
instrument-in-use = In use
instrument-out-of-use = Out of use
story-with = with { $instrument }
finding-instrument-doubt = reading in doubt
finding-instrument-out = instrument out of use
finding-instrument-other = another instrument

# The kinds of instrument, as headings of their list.
instruments-of-burette = Burettes
instruments-of-co2-meter = CO2 meters, gas
instruments-of-conductivity-meter = Conductivity meters
instruments-of-dissolved-co2-meter = CO2 meters, dissolved
instruments-of-flow-meter = Flow meters
instruments-of-gas-monitor = Gas monitors
instruments-of-hydrometer = Hydrometers
instruments-of-level-gauge = Level gauges
instruments-of-microscope = Microscopes
instruments-of-oxygen-meter = Oxygen meters, dissolved
instruments-of-oxygen-monitor = Oxygen monitors, room
instruments-of-ph-meter = pH meters
instruments-of-pressure-gauge = Pressure gauges
instruments-of-scales = Scales
instruments-of-seam-gauge = Seam gauges
instruments-of-test-strip = Test strips
instruments-of-thermometer = Thermometers
instruments-of-timer = Timers
desk-doubt = This browser was shown another record before: the office has gone back or its record was changed, and no restore explains it.
desk-doubt-open = What it was shown
needs-log = The record itself
needs-doubt-gone-back = { $name }, { $time }: the office had gone back. This phone keeps a signed head of { $kept } records that it no longer fits, and no restore explains it. Have it handed out there and run check --head with it.
needs-doubt-forked = { $name }, { $time }: the record did not go on from the { $kept } records that this phone keeps a signed head of. Have it handed out there and run check --head with it.
needs-restored = { $time }: put back to a copy of { $count } records. What phones held beyond it comes back by itself. Set new PINs for people added since that copy, and forget again whose name was forgotten since.

vessels-none = No vessel is listed yet. List each vessel and line by the name on it: procedures are done on them.
vessels-out = Out of use
vessel-new = List a vessel or a line
vessel-form-name = Name, as on the vessel
vessel-form-name-taken = One of this name is listed already.
vessel-form-kind = Kind
vessel-form-kind-help = It stays of its kind: what is done on it goes by that.
vessel-form-place = Where it stands
vessel-form-plate = From its plate, where you know it
vessel-form-capacity = Volume of the whole vessel, L
vessel-form-charge = Volume of a cleaning charge, L
vessel-form-diameter = Inside diameter, m
vessel-form-brews = Brews that fill it
vessel-form-use = Use
vessel-form-in-use = In use
vessel-form-out-of-use = Out of use
vessel-form-out-help = First empty it, rinse it and leave it safe. Its records stay.
vessel-page = Its page at the vessel

desk-set-up = Set up
set-up-lead = A new brewery goes through this in order. All of it can be changed later.
set-up-vessels = Each vessel and line, and what its plate says.
set-up-people = Everybody who is to record, each with a PIN.
set-up-figures = Limits and strengths that only your site can vouch for, each to be looked at and signed.
set-up-instruments = What readings are made with, and how often it is checked.
set-up-recipes = What your beers are to be.
set-up-labels = Codes to print, cut out and fix on vessels and instruments.
set-up-devices = A code for each phone: on the phone open this server’s address and key it in.
set-up-count =
    { $count ->
        [0] none yet
        [one] 1 so far
       *[other] { $count } so far
    }
today-set-up = No vessel is listed yet.
