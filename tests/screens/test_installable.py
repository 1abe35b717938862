"""The app can be put on a phone's home screen: Chromium's own judgement of the manifest, the icons and the worker."""


def test_chromium_finds_nothing_against_installing_it(brewer):
    page = brewer.page
    page.evaluate("() => navigator.serviceWorker.ready")
    cdp = brewer.context.new_cdp_session(page)
    manifest = cdp.send("Page.getAppManifest")
    assert manifest["url"] == f"{brewer.origin}/manifest.webmanifest"
    assert manifest["errors"] == []
    assert cdp.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
