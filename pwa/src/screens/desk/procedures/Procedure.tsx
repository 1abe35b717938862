/** One procedure: its versions with who published each and why, what differs between any two, and the ways to change it. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { beginDraft } from "../../../state/drafts";
import { personName } from "../../../state/known";
import { go, to } from "../../../state/route";
import { moment } from "../../../ui/time";
import { said, useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { shortName } from "../shortname";
import { differenceOf, FRESH, type Listed, listed, type Published, versionOf } from "./answers";
import { Picker } from "./Controls";
import { Difference } from "./Difference";
import { download } from "./download";

export function Procedure({ id }: { readonly id: string }) {
  const { answer, wrong, again } = useAsked(listed, id);
  const row = answer?.find((other) => other.id === id);
  if (!row) return <DeskPage title={answer ? t("not-found") : t("procedure")} wrong={wrong} again={again} />;
  return <Shown row={row} />;
}

function Shown({ row }: { readonly row: Listed }) {
  const [wrong, setWrong] = useState<string | null>(null);
  const newest = row.versions[0]?.version ?? 0;
  const tried = (work: Promise<void>) => void work.catch((error: unknown) => setWrong(said(error)));
  const copy = async () => {
    const { draft } = await versionOf(row.id, newest);
    const title = t("procedure-copy-title", { title: row.title });
    go(
      "record",
      "procedure-edit",
      await beginDraft({ ...draft, [FRESH]: true, id: shortName(title), title, version: 1 }),
    );
  };
  return (
    <DeskPage title={row.title} over={row.id} wrong={wrong}>
      <div class="row-presses">
        <a class="press small" href={to("record", "procedure-edit", row.id)}>
          {t("procedure-next", { version: newest + 1 })}
        </a>
        <button type="button" class="press small" onClick={() => tried(copy())}>
          {t("procedure-copy")}
        </button>
      </div>
      <section>
        <h2>{t("procedure-versions")}</h2>
        <ol class="versions">
          {row.versions.map((version) => (
            <Version
              key={version.version}
              version={version}
              save={() => tried(save(row.id, version.version))}
            />
          ))}
        </ol>
      </section>
      {row.versions.length > 1 && <Compare row={row} />}
    </DeskPage>
  );
}

async function save(id: string, version: number): Promise<void> {
  const { file } = await versionOf(id, version);
  download(`${id}.yaml`, file);
}

function Version({ version, save }: { readonly version: Published; readonly save: () => void }) {
  return (
    <li class="version">
      <h3>{t("procedure-version", { version: version.version })}</h3>
      <p class="whose">
        {version.person
          ? t("record-by", { person: personName(version.person), time: moment(version.published) })
          : t("procedure-shipped", { time: moment(version.published) })}
      </p>
      {version.note && <p>{version.note}</p>}
      <p class="hash">{version.sha256}</p>
      <button type="button" class="press small" onClick={save}>
        {t("procedure-download")}
        <span class="unseen"> {t("procedure-version", { version: version.version })}</span>
      </button>
    </li>
  );
}

function Compare({ row }: { readonly row: Listed }) {
  const [after, setAfter] = useState(row.versions[0]?.version ?? 0);
  const [before, setBefore] = useState(row.versions[1]?.version ?? 0);
  const { answer, wrong, again } = useAsked(
    () => differenceOf(row.id, before, after),
    `${row.id} ${before} ${after}`,
  );
  const sides = [
    { label: t("difference-from"), value: before, set: setBefore },
    { label: t("difference-to"), value: after, set: setAfter },
  ];
  return (
    <section>
      <h2>{t("difference")}</h2>
      <div class="filters">
        {sides.map((side) => (
          <Picker
            key={side.label}
            label={side.label}
            value={String(side.value)}
            onValue={(picked) => side.set(Number(picked))}
          >
            {row.versions.map(({ version }) => (
              <option key={version} value={String(version)}>
                {t("procedure-version", { version })}
              </option>
            ))}
          </Picker>
        ))}
      </div>
      {wrong && (
        <p class="wrong" role="alert">
          {wrong}{" "}
          <button type="button" class="press small" onClick={again}>
            {t("try-again")}
          </button>
        </p>
      )}
      {answer && <Difference rows={answer} />}
    </section>
  );
}
