/** Every phone there ever was: how far it was heard, a code for a new one, and an end to a lost one. */
import { useState } from "preact/hooks";
import { t } from "../../messages";
import { useSeconds } from "../../state/clock";
import { to } from "../../state/route";
import { HoldButton } from "../../ui/HoldButton";
import { Qr } from "../../ui/Qr";
import { TextField } from "../../ui/TextField";
import { length, moment } from "../../ui/time";
import { type Code, type Device, devices, makeCode, revoke } from "./answers";
import { said, useAsked } from "./asked";
import { DeskPage } from "./DeskPage";

export function Devices() {
  const { answer, wrong, again } = useAsked(devices, "devices");
  return (
    <DeskPage title={t("desk-devices")} wrong={wrong} again={again}>
      <NewCode />
      {answer && (
        <ul class="devices">
          {answer.map((device) => (
            <DeviceRow key={device.id} device={device} changed={again} />
          ))}
        </ul>
      )}
    </DeskPage>
  );
}

function NewCode() {
  const [name, setName] = useState("");
  const [code, setCode] = useState<Code | null>(null);
  const [wrong, setWrong] = useState("");
  const submit = async (event: Event) => {
    event.preventDefault();
    if (name.trim() === "") return setWrong(t("code-nameless"));
    try {
      setCode(await makeCode(name.trim()));
      setWrong("");
    } catch (error) {
      setWrong(said(error));
    }
  };
  return (
    <section class="new-code">
      <h2>{t("code-title")}</h2>
      {code ? (
        <ShownCode code={code} done={() => setCode(null)} />
      ) : (
        <form onSubmit={(event) => void submit(event)}>
          <TextField label={t("code-name")} value={name} onValue={setName} longest={80} />
          <button type="submit" class="press main">
            {t("code-make")}
          </button>
        </form>
      )}
      {wrong && (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      )}
    </section>
  );
}

function ShownCode({ code, done }: { readonly code: Code; readonly done: () => void }) {
  const rest = (Date.parse(code.expires) - useSeconds()) / 1000;
  return (
    <div class="shown-code">
      {rest > 0 ? (
        <>
          <p class="code-letters">
            <span>{code.code.slice(0, 5)}</span> <span>{code.code.slice(5)}</span>
          </p>
          <Qr text={`${location.origin}/${to("enrol", code.code)}`} label={t("code-qr")} />
          <p>{t("code-how", { time: length(rest) })}</p>
        </>
      ) : (
        <p>{t("code-over")}</p>
      )}
      <button type="button" class="press small" onClick={done}>
        {t("code-done")}
      </button>
    </div>
  );
}

function DeviceRow({ device, changed }: { readonly device: Device; readonly changed: () => void }) {
  const [asking, setAsking] = useState(false);
  return (
    <li class="device" data-revoked={device.revoked !== null}>
      <h3>{device.name}</h3>
      <p class="whose">
        {device.heard
          ? t("device-heard", { time: moment(device.heard), number: device.number })
          : t("device-unheard", { time: moment(device.enrolled) })}
      </p>
      {device.offset_ms !== null && (
        <p class="whose">{t("device-clock", { seconds: Math.round(device.offset_ms / 1000) })}</p>
      )}
      <p class="hash">{device.id}</p>
      {device.revoked ? (
        <>
          <p class="tag">{t("device-revoked", { time: moment(device.revoked) })}</p>
          <p class="whose">{t("device-revoked-pins")}</p>
        </>
      ) : asking ? (
        <Revoke device={device} changed={changed} />
      ) : (
        <button type="button" class="press small" onClick={() => setAsking(true)}>
          {t("device-revoke")}
        </button>
      )}
    </li>
  );
}

function Revoke({ device, changed }: { readonly device: Device; readonly changed: () => void }) {
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState("");
  const end = async () => {
    if (reason.trim() === "") return setWrong(t("device-reason-needed"));
    try {
      await revoke(device.id, reason.trim());
      changed();
    } catch (error) {
      setWrong(said(error));
    }
  };
  return (
    <div class="sure">
      <p>{t("device-revoke-what")}</p>
      <TextField label={t("device-reason")} value={reason} onValue={setReason} longest={400} />
      {wrong && (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      )}
      <HoldButton label={t("device-revoke-do")} tone="stop" onHeld={() => void end()} />
    </div>
  );
}
