"""The database: the log and its one writer, what is kept beside it, and the projections made from it.

What the rest of the house and the demo brewery call; all need an application context. `now` is epoch
milliseconds, the wall clock when left out, so that a history can be written with the times it happened at.

    create_brewery(name, *, now=None) -> brewery id
    add_person(brewery, name, role, *, pin=None, password=None, person=None, now=None) -> person id
    add_vessel(brewery, vessel: {"id", "name", "kind", "place", …})          a second call replaces it
    add_recipe(brewery, recipe: {"id", …})
    publish_procedure(brewery, procedure, *, by=None, now=None) -> sha256    same version, other content: refused
    publish_caution(brewery, caution)
    set_setting(brewery, name, value: str, *, by=None, now=None)
    enrol_device_with_key(brewery, name, jwk, *, now=None) -> device id
    ingest(brewery, events, *, device_id, now=None) -> results               signed events, as POST /api/sync
"""
