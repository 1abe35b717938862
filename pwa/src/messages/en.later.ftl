# The words of what a phone loads only when it is asked for: the paper copy of a run, records carried by hand.

sheet-lead = For when no phone can be used. Key the readings in later, under More: they are marked as from paper.
sheet-run = Run { $id }
sheet-qr = The run, for the camera of a phone
sheet-by = Done by
sheet-time = Time
carry-lead = For when neither phone has a signal. The records go as text, with their signatures; whichever phone reaches the office first delivers them.
carry-share = Share
carry-copy = Copy the text
carry-copied = Copied.
carry-saved = Saved as a file.
carry-no-copy = This phone did not let it be copied. Open the text below and copy it by hand.
carry-text = The text
carry-in-lead = Records another phone shared as text.
carry-file = Choose a file
carry-paste = Or paste the text
carry-take = Take them in
carry-taken = { $taken } taken in, { $held } were here already.
carry-wrong = This is not a set of records: { $text }.

## Heads of the log

heads-lead = The office signs its whole record again and again. This phone keeps what it was shown and looks whether the record still goes on from there. A file of it shows whether anything was changed: deploy/run check --head heads.json
heads-one = { $count } records, signed { $time }
heads-gone-back = On { $time } the office had fewer records than it had shown this phone before, and no restore explains it.
heads-forked = On { $time } the office showed this phone a record that does not go on from what it had shown before.
heads-do = Tell a manager, and hand this out as a file: it shows what was there. Your own records are safe on this phone.

## Strike, settle, override, skip, and words for the record

strike-why = Why?
strike-reason-1 = Keyed wrong
strike-reason-2 = Wrong vessel
strike-reason-3 = Wrong step
strike-reason-4 = The instrument was wrong
strike-do = Strike it
settle-title = Which one counts?
settle-lead = Both stay in the record. The one you choose is used.
settle-why = Why this one?
settle-reason-1 = I measured it again
settle-reason-2 = The other instrument was wrong
settle-reason-3 = The other was keyed wrong
settle-do = Let it count
override-lead = Said by name and with a PIN, it ends with the shift, and the manager answers it. It proves nothing: say what is checked instead.
override-reason = Why it is overridden
override-check = What is checked instead
override-title = Who overrides it?
override-as = { $name } overrides it
override-do = Override
note-lead = It goes into the record of this run.
note-label = Note
note-do = Record the note
deviate-lead = Something is not as the procedure wants it. Say what, and what you did. A duty brewer or manager answers it.
deviate-label = What is different
deviate-do = Raise it
answer-lead = Say what was done about it.
answer-what = { $person }: { $text }
answer-label = What was done about it
answer-do = Record the answer
skip-lead = A brewer may skip this step, with a reason.
skip-why = Why?
skip-reason-1 = Not needed on this vessel
skip-reason-2 = Done before this run
skip-do = Skip it

## What to trust

trust-lead = Each proof shows one thing. None of them shows that what was keyed is true: only a second pair of eyes does.
trust-signature = Signature
trust-signature-shows = Shows: a record was made on the phone it names and has not been changed since. Each phone signs with its own key, and the office signed for that key when the phone was enrolled.
trust-signature-not = Does not show: who held the phone, that its clock was right, or that the reading is what the instrument said.
trust-chain = Chain
trust-chain-shows = Shows: each record names the one before it on its phone, so none can be changed, taken out between two or slipped in.
trust-chain-not = Does not show: that the newest records of a phone are all here. The office keeps how far it has heard each phone, and says so when records below that are missing.
trust-head = Signed head
trust-head-shows = Shows: the office signs at least once a day how many records there are, and one hash over all of them in order. Whatever was there then must still be there, unchanged and in its place.
trust-head-not = Does not show by itself: that the office did not sign another history later. A head kept elsewhere, on a phone, in a file or on paper, does.
trust-evidence = Evidence file
trust-evidence-shows = Shows, on any machine with no network: the records of one run, whose keys signed them, that they lie in the log under a signed head, and that the procedure is the one that was published.
trust-evidence-not = Does not show: that no record of that run was left out of the file. Judged alone it does not show either that this office made it: for that, “verify --head” judges it beside a head that a phone kept.
trust-paper = Printed record
trust-paper-shows = Shows: the square code holds the run, the hash over its records, and the head of the log when it was printed. With that text, “check --printed” on the server, or “verify --printed” beside an evidence file, says whether the paper still fits.
trust-paper-not = Does not show: that the words on the paper were not printed by someone else. Compare them with the record.
trust-taken-out = A text or photo that was taken out
trust-taken-out-shows = Shows: where the office had to take a text or a photo out of a record, its hash and its place stay, and the log says when, by whom and why. Every other proof holds as before. Whoever still has the text can show by the hash that it is the one.
trust-taken-out-not = Does not show: what the text said. Its signature cannot be checked without it; the office signs for it instead. Readings, counts, lots and choices cannot be taken out.
trust-sign-in = Sign-in
trust-sign-in-shows = Shows: with a signal the office judges the PIN or password itself and writes into the log who signed in, on which phone, when and how; refused ones in a row are announced at the desk. That proves the person’s records on that phone for 14 days, or until they sign out. A record with no such sign-in is kept and marked, and a review, answer, override or second signature in it has no effect. A review also needs an open desk: it opens to a password alone and shuts after 20 minutes of rest. Whoever did some of the work does not accept the run; where the site has said that nobody else is there, they do, and the record says so.
trust-sign-in-alone = With no signal the phone says itself who unlocked it. That counts only where the office had taken that person’s PIN on that phone within the 28 days before, and each record tells it apart: “with no signal, by the phone’s word”.
trust-sign-in-not = Does not show: that nobody else knew the PIN, or held the phone while it was unlocked.
trust-found = When someone has tampered with the office’s records
trust-found-alone = “check” on the server finds by itself: a record changed, dropped or put in; a phone’s records signed again with another key; the newest records dropped.
trust-found-kept = Only a head kept elsewhere shows: that signed heads and counts were dropped along with the records, or that all of them were made again with the server’s own key.
trust-found-never = Nothing shows: a clock set wrong before a record was made, or a reading keyed falsely; or a PIN or password replaced in the database, with which somebody then signed in.
trust-phone = What a stolen phone yields
trust-phone-holds = The procedures, the vessels, the names of the people here, and the runs of the last two weeks. While it is unlocked, it records in the name of whoever is signed in; in skilled hands, of anyone who signed in on it within four weeks. Records in any other name are marked and have no effect.
trust-phone-key = Its key. A page cannot read it out, but the browser keeps it in clear on the phone’s storage: whoever can read that can sign as this phone until it is revoked.
trust-phone-pin = The PINs of those who signed in on it. Each is kept only as a slow hash (PBKDF2, 600,000 rounds, sealed with a key that lies beside it), but six digits are one in a million: a graphics card tries them all in minutes.
trust-phone-password = No password. Of a manager’s password a phone keeps nothing, so managers sign in with a signal only.
trust-phone-notices = Notices that come while the app is shut travel by the browser maker’s service. It sees when, and from which office, but not what they say; that names a vessel or an instrument and no person.
trust-phone-unsent = Records not sent yet are on this phone alone. If it is lost before it reaches the office, they are lost.
trust-after = After a loss
trust-after-revoke = Tell a manager at once: they revoke the phone at the desk, under Set up, Phones. What it signed before stays valid.
trust-after-pins = Then everyone who signed in on it needs a new PIN. Until the desk can set one: “person secret” on the server’s command line. Other phones drop the old PIN at their next contact.
trust-after-contact = If the phone reaches the office again, it gives up its PINs, its key, the procedures and the people, and keeps unsent records until it is enrolled anew. It locks after 15 minutes of rest in any case. Signing out never deletes a record.

## Enrolling this phone

install-first = Put Vesselside on the home screen first
install-why = On this phone, a page in the browser loses its records after a week of rest. The installed app keeps them.
install-1 = Press the Share button of the browser.
install-2 = Choose Add to Home Screen.
install-3 = Open Vesselside from the home screen and enter the code there.
enrol-lead = A manager makes a code at the desk, under Set up, Phones. It works once, for ten minutes.
enrol-code = Code
enrol-code-help = Ten letters and digits. Small letters and spaces do not matter.
enrol-name = Name of this phone
enrol-name-help = So that people know which phone it is, such as “Cellar phone”.
enrol-do = Enrol
enrol-busy = Asking the office
enrol-short = The code has { $length } letters and digits. Some are missing.
enrol-nameless = Give this phone a name.
enrol-unreachable = The office cannot be reached. Enrolling needs a signal, once.
enrol-code-wrong = The office does not know this code. It may be used or out of date: ask for a new one.
enrol-too-many = Too many tries. Wait a minute.
enrol-refused = The office did not accept this phone.
enrol-no-brewery = There is no brewery on this server yet.

begin-title = Begin your brewery
begin-lead = Name the brewery and its first manager. This browser becomes its desk; everything else is set up from there.
begin-code-help = The server printed it when it was started, with the address of this page.
begin-code-wrong = The server does not know this code, or has a brewery already. It prints the right one when it is started.
begin-name = Name of the brewery
begin-manager = Your name
begin-pin = PIN
begin-pin-help = Six digits or more; for phones.
begin-password = Password
begin-password-help = Twelve letters or more; for the desk. Keep it where you keep such things.
begin-lacking = Give this too: { $field }.
begin-do = Begin
begin-desk = Desk

## A phone whose storage was lost

recovered-what =
    { $count ->
        [0] On { $time } the browser had thrown away what this phone kept. None of its records was in the journal.
        [one] On { $time } the browser had thrown away what this phone kept. 1 record came back from the journal and waits to be sent.
       *[other] On { $time } the browser had thrown away what this phone kept. { $count } records came back from the journal and wait to be sent.
    }
recovered-torn =
    { $count ->
        [one] 1 line of the journal was cut short. It was not shown as recorded.
       *[other] { $count } lines of the journal were cut short. They were not shown as recorded.
    }
recovered-office = The office does not know this phone’s new key yet. Ask a manager for a code as soon as there is a signal: then everything is sent.
recovered-on = Go on recording
recovered-who = This phone has no PINs left to check. Pick your name: until it is enrolled, records are marked as not proved.
recovered-nobody = This phone does not know the people here any more. It must be enrolled first.
recovered-enrol = Enter a code

## This phone

phone-heads = Heads of the record
carry-in-title = Take in carried records
phone-send = Send now
phone-sending = Sending
phone-keeps = What this phone keeps
storage-persistent = This phone keeps its records until they are sent, also when space runs short.
storage-refused = This phone may throw records away when space runs short. Install Vesselside on the home screen, and reach the office often.
storage-unknown = This phone does not say whether it keeps records when space runs short. Reach the office often.
journal-kept = Each record is written down twice here. If the browser loses one copy, the other gives it back.
journal-unused = Each record is written down twice here. If the browser loses one copy, the other gives it back.
journal-none = This browser keeps each record once only. Reach the office often.
journal-failed = The second copy of the records cannot be written. Free some space, then open Vesselside again.
room = The browser has room for { $free } MB more.
room-low = The browser has room for only { $free } MB more. Free some space on this phone before records cannot be kept.
unsent-title = Hand out what is not sent
unsent-lead = For when this phone cannot reach the office. Take the file in at the desk or on another phone, under “Take in carried records”: it delivers them. They wait here too until the office has them.
phone-laid-by =
    { $count ->
        [one] 1 record of another brewery waits here until this phone is enrolled there again
       *[other] { $count } records of another brewery wait here until this phone is enrolled there again
    }
phone-this = Which phone this is
phone-name = { $name } · { $id }
phone-clock =
    { $unit ->
        [none] Its clock agrees with the office.
        [seconds] Its clock is { $off } s from the office’s.
        [minutes] Its clock is { $off } min from the office’s. Have date and time set by the network.
       *[hours] Its clock is { $off } h from the office’s. Have date and time set by the network.
    }
phone-leapt =
    { $hours ->
        [one] On { $at } its clock was up to an hour ahead of the office’s.
       *[other] On { $at } its clock was { $hours } hours ahead of the office’s.
    } Records made by it count from when the office received them. Have date and time set by the network.
phone-undigested =
    { $count ->
        [one] 1 record could not be taken in by the office. It stays here and is tried again after the others. Tell a manager.
       *[other] { $count } records could not be taken in by the office. They stay here and are tried again after the others. Tell a manager.
    }
phone-refused = Refused by the office
phone-refused-what = These stay on this phone. Show them to a manager.
update-title = A new version is ready
update-lead = It takes a few seconds. Records stay.
update-hold = A hold is running on this phone. The new version waits until it is over.
update-run = A run is on the screen in another tab. Leave it there first, then take the new version.
update-do = Take the new version
afresh-title = The screens misbehave
afresh-what = Vesselside is loaded anew from the office. That needs a signal. Records stay on this phone.
afresh-do = Load it anew
trouble-no-network = The office cannot be reached from here. Records wait on this phone and go when there is a signal.
trouble-enrol = The office no longer knows this phone. Records stay here. Ask a manager for a new code.
trouble-busy = The office is busy. This phone tries again by itself.
trouble-turned-down = The office did not take what this phone sent. Records stay here. Tell a manager.
trouble-old-core = The office has newer procedures than this version can read. Take the new version when it is ready.
trouble-mismatch = A run differs between this phone and the office. Nothing is lost. Tell a manager.
trouble-storage = This phone could not write what the office sent. Free some space.

## Sums, and what a run asks

find-words = A vessel, a procedure, a sum
find-found =
    { $count ->
        [0] Nothing here is called so.
        [one] One found.
       *[other] { $count } found.
    }
find-procedures = Procedures

# What people call a sum, beside its title: they find it so, and never read it.
sum-also-alkalinity-acid = lactic phosphoric water treatment
sum-also-attenuation = ABV OG FG
sum-also-beer-colour = EBC SRM
sum-also-beer-losses = yield
sum-also-best-before = BBE date code
sum-also-bitterness-share = IBU EBU
sum-also-bitterness-total = IBU EBU
sum-also-blend-brews = double brew
sum-also-boil-bitterness = IBU EBU
sum-also-boil-clock = kettle time
sum-also-boil-off = evaporation
sum-also-brewhouse-efficiency = yield mash efficiency
sum-also-cask-priming = priming CO2 keg conditioning
sum-also-caustic-charge = NaOH CIP sodium hydroxide
sum-also-caustic-density = NaOH sodium hydroxide
sum-also-caustic-in-gas = NaOH CO2 vacuum collapse
sum-also-caustic-make-up = NaOH CIP sodium hydroxide top up
sum-also-caustic-titration = NaOH CIP sodium hydroxide
sum-also-cell-count = yeast haemocytometer
sum-also-chlorine-removal = Campden chloramine water treatment
sum-also-clean-footprint = CIP
sum-also-co2-at-rest = CO2 carbonation volumes
sum-also-co2-for-tank = CO2 purge carbonation
sum-also-co2-pressure = CO2 carbonation volumes
sum-also-contact-time = CIP hold
sum-also-contact-time-logged = CIP hold
sum-also-cooled-volume = shrinkage
sum-also-copper-up = kettle gravity
sum-also-copper-volumes = kettle
sum-also-dilution = dilution water let down
sum-also-dilution-heat = NaOH caustic CIP
sum-also-dry-hop = hopping creep
sum-also-duty-strength = ABV tax excise
sum-also-effluent-neutralisation = drain NaOH pH
sum-also-end-of-boil = kettle gravity
sum-also-extract-units = malt HWE
sum-also-fermentation-gas-heat = CO2 cooling
sum-also-fermentation-rate = CO2 cooling
sum-also-fill-chart-limits = SPC control limits
sum-also-fill-chart-sample = SPC control limits
sum-also-fill-target = average quantity e mark
sum-also-fill-volume = average quantity e mark can
sum-also-final-gravity = FG SG
sum-also-grist-extract = malt bill OG SG
sum-also-grist-for-gravity = malt bill OG SG
sum-also-grist-gravity = malt bill OG SG
sum-also-grist-share = malt bill weigh
sum-also-hop-addition = IBU EBU
sum-also-hop-isomerisation = IBU EBU whirlpool stand
sum-also-hot-volume = shrinkage
sum-also-hydrometer-correction = SG temperature saccharometer
sum-also-last-runnings = SG sparge lauter
sum-also-late-hop-addition = IBU EBU whirlpool
sum-also-late-hops = whirlpool
sum-also-liquor-blend = strike water mix
sum-also-liquor-blend-any = strike water mix
sum-also-liquor-blend-temperature = strike water mix
sum-also-liquor-ph-acid = sparge water treatment lactic
sum-also-liquor-salts = gypsum CaSO4 CaCl2 water treatment
sum-also-liquor-salts-target = gypsum CaSO4 CaCl2 water treatment
sum-also-marking-height = label e mark
sum-also-mash-ph = acidity
sum-also-peracetic-dose = PAA sanitiser
sum-also-peracetic-life = PAA sanitiser
sum-also-peracetic-titration = PAA sanitiser
sum-also-pipe-velocity = CIP flow turbulent
sum-also-pitching-rate = yeast cells
sum-also-plato-from-sg = SG OG gravity hydrometer
sum-also-pure-alcohol = ABV duty excise LPA
sum-also-reference-test = average quantity
sum-also-residual-alkalinity = water treatment hardness
sum-also-rinse-conductivity-limit = CIP
sum-also-rinse-ph-band = CIP
sum-also-run-off-sparge = lauter
sum-also-seam-free-space = can end
sum-also-seam-overlap = can end
sum-also-sg-15-to-20 = OG hydrometer
sum-also-sg-from-plato = OG gravity hydrometer
sum-also-spray-flow = CIP
sum-also-strike-temperature = mash in water
sum-also-tare-study = average quantity
sum-also-terminal-gravity = FG SG
sum-also-tolerable-negative-error = TNE average quantity
sum-also-total-oxygen = TPO O2
sum-also-uk-barrels = hL conversion
sum-also-ventilation-estimate = CO2 room gas
sum-also-yeast-crop = generation harvest

sums-filter = Find a sum
sums-found =
    { $count ->
        [0] No sum is found by these words
        [one] 1 sum
       *[other] { $count } sums
    }
sums-place-brewhouse = Brewhouse
sums-place-cellar = Cellar
sums-place-packaging = Packaging
sums-place-office = Office
sums-kept = Filled in with the last figures given on this phone. Check each one.
sums-clear = Start afresh
sums-range = From { $min } to { $max }.
sums-whole = A whole number.
sums-empty = Left empty, it is { $value }.
sums-optional = It may be left empty.
sums-rows =
    { $least ->
        [one] At least 1 row.
       *[other] At least { $least } rows.
    }
sums-row = Row { $number }
sums-row-more = Another row
sums-row-less = Remove the last row
sums-next = Next
sums-keyed = Done
sums-put = Put it into a run
sums-put-which = Which result?
sums-range-of = { $label }: { $range }
sums-put-now = { $label }, now { $value }
sums-put-none = No run on this phone has an open step that takes it.
sums-put-lead = The step shows it with its working before it is recorded.
strike-title = Strike it
reason-own = Another reason
abandon-lead = The run is closed and the vessel counts as you leave it. Venting, draining and cooling are never locked: make it safe first.
abandon-lead-nowhere = The run is closed. Make safe what you leave first.
abandon-left = How is the vessel left?
abandon-reason = Why does the run stop here?
abandon-do = Stop the run

## Emergencies

emergency-none = Get away from it, shout, call. Chemical or burn: water on it, 20 minutes.
emergency-others = Other emergencies
emergency-record = Write down what happened
emergency-close = Close

## What can be begun, and the start of a run

vessel-start = Next here
start-steps = { $count } steps · version { $version }
start-recipe = Recipe
start-recipe-none = None: key the figures
start-gyle-help = The number of the brew. Leave it empty if there is none.
start-tank = Which beer?
start-tank-gyle = { $tank }: gyle { $gyle }
vessel-start-else = Everything else
start-kind = { $kind }: { $count }
due-now = Due now
alike-title = One runs on { $vessel } already
alike-by = Begun by { $person }, { $time }
alike-why = Join it, and what you record goes into the same run. A second one is for when it is truly another.
alike-join = Join it
alike-second = Begin a second one

## A second signature

sign-title = Who signs?
sign-as = { $name } signs
sign-do = Sign
sign-what = { $person } did this step, { $time }. Another person looks at it and signs with their own PIN.

## What a run can do besides its next step

more-title = This run
more-mode = How to show it
mode-walk = Walk me through
mode-steps = Just the steps
hand-over = Hand over to a colleague
hand-over-what = Tell them what is open, what is hot and what runs. Then they sign in here and find the run as you left it. Holds go on.
hand-over-do = Hand over now
paper-stop = Stop keying in from paper
paper-start = Key in from a paper sheet
deviate-title = Raise a deviation
skip-title = Skip this step
sheet-title = Print a paper sheet
abandon-title = Stop this run early
put-away = Opened by mistake, nothing touched

## How this phone calls

calls-title = When a hold is nearly over, and over
calls-both = It sounds and vibrates
calls-vibration = It only vibrates
calls-try = Try it
notices-title = When the app is shut
notices-what = This phone can be told when a hold is over, when your signature is wanted, and what else can’t wait.
notices-do = Tell me
notices-none = Tell me nothing
notices-kind-hold-over = A hold is over, of a run recorded on this phone
notices-kind-second-wanted = A second signature is wanted
notices-kind-standing = Chemical in, and nothing recorded for an hour
notices-kind-vessel-held = A vessel was put on hold
notices-kind-deviation = A deviation waits for an answer
notices-kind-proof-ends = A vessel that beer is bound for can soon no longer be filled
notices-kind-check-overdue = A check is overdue
notices-quiet = Nothing at night
notices-from = From
notices-to = To
notices-blocked = The browser does not let this app tell you anything. Allow notifications for it in the phone’s settings.
notices-install = On this phone only an installed app can tell you anything: share the page, “Add to Home Screen”, and open it from there.
notices-never = This browser can’t tell you anything while the app is shut.
notices-no-signal = The office was not reached, so nothing has changed. Try again with a signal.
notices-no-service = The browser’s own service was not reached, or refused. Try again later.

shift-hurts = What can hurt now
shift-hurts-nothing = Nothing that this phone knows of.
shift-running-nothing = Nothing is running.
shift-waits = Waits for an answer
shift-waits-nothing = No deviation waits.
shift-deviations =
    { $count ->
        [one] 1 deviation to answer
       *[other] { $count } deviations to answer
    }
shift-opened = { $name } opened it, { $time }
shift-noticed = Noticed in the last twelve hours
shift-noticed-nothing = Nobody wrote anything down.
shift-only-here = This is what this phone knows. Go round with whoever takes over, and look.
