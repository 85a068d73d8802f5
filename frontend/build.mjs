// Bundle the pages' script into the one file that the wheel carries.
import { build } from "esbuild";

await build({
  entryPoints: ["src/main.js"],
  outfile: "../src/pratique/web/static/pratique/built/pratique.js",
  bundle: true,
  minify: true,
  format: "iife",
  target: "es2020",
  sourcemap: false,
  legalComments: "eof",
  charset: "utf8",
  logLevel: "warning",
});
