// Runs the Khronos group's validator over glTF files: `node validate.mjs MODULES FILE...`.
//
// MODULES is the folder that npm installed the validator into. Writes one line of JSON for each file: what is wrong.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { resolve } from "node:path";

const [modules, ...files] = process.argv.slice(2);
const validator = createRequire(resolve(modules, "modules.js"))("gltf-validator");

for (const file of files) {
    const report = await validator.validateBytes(new Uint8Array(readFileSync(file)), { uri: file });
    const { numErrors, numWarnings, numInfos, numHints, messages } = report.issues;
    const issues = { errors: numErrors, warnings: numWarnings, infos: numInfos, hints: numHints };
    console.log(JSON.stringify({ file, ...issues, messages: messages.map((told) => told.message) }));
}
