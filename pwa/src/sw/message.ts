/** The words between page and service worker. */
export const APPLY = "vesselside:apply";
export const FETCH_OFFICE = "vesselside:office";
/** Something came while the page was there: it asks the office. */
export const PUSHED = "vesselside:pushed";
/** A notice was pressed: `{open: parts}` of an address goes with it. */
export const OPEN = "vesselside:open";
