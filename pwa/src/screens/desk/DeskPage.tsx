/** The frame of a desk screen: heading, what went wrong, and the rest. */
import type { ComponentChildren } from "preact";
import { t } from "../../messages";
import { Title } from "../../ui/Page";

type Props = {
  readonly title: string;
  readonly over?: ComponentChildren;
  readonly wrong?: string | null;
  readonly again?: () => void;
  /** How many runs are shown here as they were before their newest records. */
  readonly behind?: number;
  readonly children?: ComponentChildren;
};

export function DeskPage({ title, over, wrong, again, behind = 0, children }: Props) {
  return (
    <main class="desk-page">
      <header class="page-head">
        {over && <p class="over">{over}</p>}
        <Title text={title} />
      </header>
      {wrong && (
        <div class="refused" role="alert">
          <p>{wrong}</p>
          {again && (
            <button type="button" class="press small" onClick={again}>
              {t("try-again")}
            </button>
          )}
        </div>
      )}
      {behind > 0 && <p role="status">{t("desk-behind", { count: behind })}</p>}
      {children}
    </main>
  );
}
