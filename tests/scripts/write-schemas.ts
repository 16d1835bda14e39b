import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { publishedSchemas, schemaText } from '../../src/io/json/json-schema';

/** Writes `schemas/*.schema.json` anew from the schemas the program reads with. */
const folder = path.resolve(import.meta.dirname, '../../schemas');
mkdirSync(folder, { recursive: true });
for (const [name, schema] of Object.entries(publishedSchemas())) {
  writeFileSync(path.join(folder, name), schemaText(schema));
  console.log(`schemas/${name}`);
}
