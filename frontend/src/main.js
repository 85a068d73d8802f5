// The pages' script. Every page works without it; it saves taps and keeps a double tap from writing twice.
import "./swap.js";
import "./writing.js";
import "./charts.js";
import "./bench.js";
import "./what_if.js";
import "./marks.js";
import "./outline.js";
