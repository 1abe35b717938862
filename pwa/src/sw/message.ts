/** The words between page and service worker. */
export const APPLY = "vesselside:apply";
export const SYNC = "vesselside:sync";
