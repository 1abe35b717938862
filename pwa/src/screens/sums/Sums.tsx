/** The page of sums: every calculation of the core, done outside a run. Loaded only when it is asked for. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../messages";
import type { Route } from "../../state/route";
import { type Calculation, calculations } from "../../state/sums";
import { Page } from "../../ui/Page";
import { List } from "./List";
import { Put } from "./Put";
import { Sum } from "./Sum";
import "../../ui/styles/sums.css";

const BACK: Route = ["sums"];

export function Sums({ parts }: { readonly parts: readonly string[] }) {
  const [rows, setRows] = useState<readonly Calculation[] | null>(null);
  useEffect(() => {
    calculations().then(setRows, reportError);
  }, []);
  const [name, put] = parts;
  if (name === undefined) return <List rows={rows ?? []} />;
  if (rows === null) return <Page title={t("sums")} back={BACK} />;
  const row = rows.find((held) => held.name === name);
  if (!row) return <Page title={t("not-found")} back={BACK} />;
  return put === "put" ? <Put key={name} row={row} /> : <Sum key={name} row={row} />;
}
