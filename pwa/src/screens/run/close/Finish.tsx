/** Closes the run when every step is done. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { act, type Refused } from "../../../state/act";
import { go } from "../../../state/route";
import type { Session } from "../../../state/run";
import { HoldButton } from "../../../ui/HoldButton";
import { RefusedWords } from "../read/RefusedWords";

export function FinishPress({ run }: { readonly run: Session }) {
  const [refused, setRefused] = useState<Refused | null>(null);
  const finish = async () => {
    const answer = await act("finish");
    if (answer.ok) go("run", run.id);
    else setRefused(answer);
  };
  return (
    <>
      {refused && <RefusedWords run={run} refused={refused} />}
      <HoldButton label={t("run-finish")} onHeld={() => void finish()} />
    </>
  );
}
