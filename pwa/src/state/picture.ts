/** Where a photo is to be seen: on this phone if it holds it, or else with the office. */
import { useEffect, useState } from "preact/hooks";
import { photoAddress } from "../api";
import { photo } from "../log";

/** The address of a photo for an <img>; null until this phone's own photos have been looked through. */
export function usePicture(sha256: string): string | null {
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    let own: string | null = null;
    let left = false;
    photo(sha256).then((blob) => {
      if (left) return;
      if (blob) own = URL.createObjectURL(blob);
      setAddress(own ?? photoAddress(sha256));
    }, reportError);
    return () => {
      left = true;
      if (own) URL.revokeObjectURL(own);
    };
  }, [sha256]);
  return address;
}
