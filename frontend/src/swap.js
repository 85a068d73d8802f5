// htmx swaps parts of a page in place. Its settings stand in the page's head, where the content policy can see them.
import htmx from "htmx.org";

window.htmx = htmx;
