/** What each proof shows and what it does not, and what a lost phone yields: for a manager, an inspector, whoever holds the phone. */
import { t } from "../../messages";
import { Page } from "../../ui/Page";

/** Each proof has a heading, what it shows, and what it does not. */
const PROOFS = ["signature", "chain", "head", "evidence", "paper", "taken-out", "sign-in"] as const;
const FOUND = ["alone", "kept", "never"] as const;
const PHONE = ["holds", "key", "pin", "password", "notices", "unsent"] as const;
const AFTER = ["revoke", "pins", "contact"] as const;

export function Trust() {
  return (
    <Page title={t("trust")} back={[]}>
      <p>{t("trust-lead")}</p>
      {PROOFS.map((name) => (
        <section key={name}>
          <h2>{t(`trust-${name}`)}</h2>
          <p>{t(`trust-${name}-shows`)}</p>
          {name === "sign-in" && <p>{t("trust-sign-in-alone")}</p>}
          <p>{t(`trust-${name}-not`)}</p>
        </section>
      ))}
      <Part title="trust-found" of={FOUND} />
      <Part title="trust-phone" of={PHONE} />
      <Part title="trust-after" of={AFTER} />
    </Page>
  );
}

function Part({ title, of }: { readonly title: string; readonly of: readonly string[] }) {
  return (
    <section>
      <h2>{t(title)}</h2>
      {of.map((name) => (
        <p key={name}>{t(`${title}-${name}`)}</p>
      ))}
    </section>
  );
}
