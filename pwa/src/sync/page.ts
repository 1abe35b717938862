/** What `back` is handed of the page: an import of it would have the bundler split the page's own code in two. */
import { isEnrolled, read, send } from "../api";
import { inner } from "../log";
import { show, syncState } from "./state";

export const page = { ...inner, read, send, isEnrolled, show, syncState };
export type Page = typeof page;
