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
