/** The frame of every screen but the gas alarm: heading, body, and the next action nearest the thumb. */
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { t } from "../messages";
import { leave, type Route } from "../state/route";

type Props = {
  readonly title: string;
  /** A short line over the title: which vessel, which run. */
  readonly over?: ComponentChildren;
  /** Where Back leads when this screen was opened by its address; absent where there is no way back. */
  readonly back?: Route;
  readonly dock?: ComponentChildren;
  readonly wide?: boolean;
  /** The dock holds keys and may take more than half of the screen. */
  readonly tall?: boolean;
  readonly children?: ComponentChildren;
};

export function Page({ title, over, back, dock, wide = false, tall = false, children }: Props) {
  return (
    <>
      <main class={wide ? "page wide" : "page"}>
        <Head title={title} over={over} back={back} />
        {children}
      </main>
      {dock && <Dock tall={tall}>{dock}</Dock>}
    </>
  );
}

type DockProps = { readonly tall?: boolean; readonly children: ComponentChildren };

export function Dock({ tall = false, children }: DockProps) {
  return (
    <section class={tall ? "dock tall" : "dock"} aria-label={t("dock")}>
      {children}
    </section>
  );
}

type HeadProps = {
  readonly title: string;
  readonly over: ComponentChildren;
  readonly back: Route | undefined;
};

function Head({ title, over, back }: HeadProps) {
  return (
    <header class="page-head">
      {(back || over) && (
        <div class="page-top">
          {back && <Back label={t("back")} press={() => leave(...back)} />}
          {over && <p class="over">{over}</p>}
        </div>
      )}
      <Title text={title} />
    </header>
  );
}

export function Back({ label, press }: { readonly label: string; readonly press: () => void }) {
  return (
    <button type="button" class="back" onClick={press}>
      <span class="back-arrow" aria-hidden="true" />
      {label}
    </button>
  );
}

/** The heading takes the focus when the screen changes, so that it is read out and keys start from the top. */
export function Title({ text }: { readonly text: string }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = t("page-title", { title: text });
    heading.current?.focus({ preventScroll: true });
    scrollTo(0, 0);
  }, [text]);
  return (
    <h1 ref={heading} tabIndex={-1}>
      {text}
    </h1>
  );
}
