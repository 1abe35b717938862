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
