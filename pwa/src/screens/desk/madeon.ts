/** The phone that made a record, in few words: by its name, with the end of its id where another is called the same. */
import { device } from "../../identity";
import { t } from "../../messages";
import { reference } from "../../sync";

const SHORT = 4;

export function madeOn(source: string): string {
  const id = source.replace("/devices/", "");
  if (id === device.value?.id) return t("device-phone-here");
  const phones = reference.value?.devices ?? [];
  const name = phones.find((phone) => phone.id === id)?.name;
  if (!name) return id.slice(-SHORT);
  return phones.filter((phone) => phone.name === name).length > 1 ? `${name} …${id.slice(-SHORT)}` : name;
}
