/** Starts the phone's side: what is kept is shown first, then the core, the sync and the service worker come up. */
import { render } from "preact";
import { startEngine } from "./engine";
import { loadIdentity, touched } from "./identity";
import { recall } from "./log";
import { speak } from "./messages";
import { App } from "./screens/App";
import { later } from "./screens/load";
import { followAlarm } from "./state/alarm";
import { followBadge } from "./state/badge";
import { followBoard } from "./state/board";
import { followCore } from "./state/core";
import { watchMishaps } from "./state/mishap";
import { followMode } from "./state/mode";
import { followHolds } from "./state/ring";
import { watchRoute } from "./state/route";
import { followRun } from "./state/run";
import { followOthers } from "./state/second";
import { followAdmin } from "./state/told";
import { followVersion } from "./state/version";
import { startShell } from "./sw";
import { startSync, syncNow } from "./sync";
import "./ui/styles/index.css";

const isAny = (value: unknown): value is object => typeof value === "object" && value !== null;

async function start(place: Element): Promise<void> {
  watchMishaps();
  await speak();
  watchRoute();
  followVersion();
  followMode();
  followCore();
  followAdmin();
  followRun();
  followHolds();
  followBadge();
  addEventListener("pointerdown", touched);
  addEventListener("keydown", touched);
  render(<App />, place);
  void startEngine().catch(console.error); // the screen says so where it matters
  await loadIdentity().catch(reportError);
  await followAlarm().catch(reportError);
  await followBoard().catch(reportError);
  followOthers();
  startSync(); // whatever this phone could not read, its records are sent
  await startShell(() => void syncNow());
  if (await recall("notices", isAny)) (await later()).followNotices();
}

const place = document.getElementById("app");
if (place) start(place).catch(reportError);
