/** The word between page and service worker. */
export const APPLY = "vesselside:apply";
