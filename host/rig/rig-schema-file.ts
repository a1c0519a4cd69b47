/** The rig file's JSON Schema, for editors: made from the loader's own by `npm run schema`. */
export const RIG_SCHEMA_FILE = new URL('./rig.schema.json', import.meta.url);
