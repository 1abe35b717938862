/**
 * A phone's screen on the desk: a page of its own, 360 px wide, that holds the vessel's own components in the vessel's
 * own style. It can be read and scrolled; no press in it reaches a component, so nothing can be recorded from it.
 */
import { type ComponentChild, render } from "preact";
import { useEffect, useRef } from "preact/hooks";

const PRESSES = [
  "click",
  "submit",
  "change",
  "drop",
  "pointerdown",
  "pointerup",
  "keydown",
  "keyup",
] as const;

type Props = { readonly title: string; readonly screen: ComponentChild };

export function PhoneFrame({ title, screen }: Props) {
  const frame = useRef<HTMLIFrameElement>(null);
  const place = useRef<HTMLElement | null>(null);
  useEffect(() => {
    const page = frame.current?.contentDocument;
    if (!page) return;
    const root = dress(page);
    place.current = root;
    const stop = keepHere(page);
    return () => {
      stop();
      render(null, root);
    };
  }, []);
  useEffect(() => {
    if (place.current) render(screen, place.current);
  });
  return <iframe ref={frame} class="phone-frame" title={title} />;
}

/** Gives the page the app's style, language and direction; where its screens go. */
function dress(page: Document): HTMLElement {
  const { lang, dir } = document.documentElement;
  page.documentElement.lang = lang;
  page.documentElement.dir = dir;
  for (const sheet of document.querySelectorAll("link[rel=stylesheet]"))
    page.head.append(page.importNode(sheet, true));
  const root = page.createElement("div");
  root.id = "app";
  page.body.append(root);
  return root;
}

/** Lets nothing be pressed in the page, and leaves the focus where the person put it. */
function keepHere(page: Document): () => void {
  const block = (event: Event) => {
    const key =
      event instanceof KeyboardEvent || event.type.startsWith("key") ? (event as KeyboardEvent).key : "";
    const moves = key !== "" && key !== "Enter" && key !== " ";
    const part = event.target as Partial<Element> | null;
    if (moves || part?.closest?.("summary")) return;
    event.preventDefault();
    event.stopPropagation();
  };
  let here: Element | null = document.activeElement;
  const left = () => {
    if (document.activeElement?.tagName !== "IFRAME") here = document.activeElement;
  };
  // A screen leads the focus to its heading; here the person is not in the screen but beside it.
  const back = (event: FocusEvent) => {
    if ((event.target as Partial<Element> | null)?.tagName === "H1" && here instanceof HTMLElement)
      here.focus({ preventScroll: true });
  };
  for (const name of PRESSES) page.addEventListener(name, block, true);
  page.addEventListener("focusin", back);
  document.addEventListener("focusin", left);
  return () => document.removeEventListener("focusin", left);
}
