"""A list says when it does not have the newest yet, and shows them by itself as soon as they are worked in."""

import re

from playwright.sync_api import expect

from tests.screens.screen import DESK, PHONE
from vesselside.store.base.turns import turn_of
from vesselside.store.site import founding


def test_a_list_that_is_behind_says_so_and_catches_up_by_itself(brewer, manager, demo):
    brewer.size(PHONE)
    manager.size(DESK)
    told = manager.page.get_by_text(re.compile("still being worked in"))
    with demo.inside(), turn_of("fold", founding.breweries()[0][0]) as mine:
        assert mine, "nothing is folded from here on"
        run = brewer.start("Copper", "Brewhouse hot caustic clean")
        expect(brewer.page.get_by_role("link", name=re.compile("^All records sent"))).to_be_visible()
        manager.go("record", "register")
        expect(told).to_be_visible()
    expect(told).to_have_count(0)
    expect(manager.page.locator(f"a[href$='{run}']")).to_be_visible()
    manager.size(PHONE)
