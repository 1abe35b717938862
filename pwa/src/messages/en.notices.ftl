# What a phone shows while the app is shut. $about is a vessel or an instrument; it may be empty ($named: no).
notice-hold-over = { $named ->
    [no] The hold is over
   *[yes] { $about }: the hold is over
}
notice-second-wanted = { $named ->
    [no] A second signature is wanted
   *[yes] { $about }: a second signature is wanted
}
notice-deviation = { $named ->
    [no] A deviation waits for an answer
   *[yes] { $about }: a deviation waits for an answer
}
notice-vessel-held = { $about } is on hold
notice-check-overdue = { $about }: a check is overdue
notice-standing = { $named ->
    [no] Chemical in, and nothing recorded for an hour
   *[yes] { $about }: chemical in, and nothing recorded for an hour
}
notice-proof-ends = { $about } can soon no longer be filled: its proof ends
notice-other = Something waits for you
