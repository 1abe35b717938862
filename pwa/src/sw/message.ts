/** The words between page and service worker. */
export const APPLY = "vesselside:apply";
export const FETCH_OFFICE = "vesselside:office";
