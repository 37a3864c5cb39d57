/**
 * As much of JSON Schema (draft 7) as `models-manifest/manifest.schema.json` uses. Any other
 * keyword is an error of the schema, so that none is passed over.
 */
export interface Schema {
  readonly [keyword: string]: unknown;
}

/** What breaks a schema: where in the value, and what it must be. */
export interface Breach {
  /** `models[1].files[0].sha256`; an empty text for the whole value. */
  readonly path: string;
  readonly must: string;
}

const notes = new Set(['$schema', '$id', 'title', 'description', 'definitions']);

/**
 * The first breach of `schema` in a value parsed from JSON, or nothing.
 * @throws RangeError for a keyword that is not known here
 */
export function breachOf(
  value: unknown,
  schema: Schema,
  whole = schema,
  path = '',
): Breach | undefined {
  const must = (what: string): Breach => ({ path, must: what });
  for (const [keyword, rule] of Object.entries(schema)) {
    const breach = notes.has(keyword) ? undefined : check(keyword, rule);
    if (breach !== undefined) return breach;
  }
  return undefined;

  function check(keyword: string, rule: unknown): Breach | undefined {
    switch (keyword) {
      case '$ref':
        return breachOf(value, named(whole, String(rule)), whole, path);
      case 'type': {
        const types = Array.isArray(rule) ? (rule as readonly string[]) : [String(rule)];
        return types.some((type) => isOf(value, type))
          ? undefined
          : must(`be ${types.join(' or ')}`);
      }
      case 'const':
        return value === rule ? undefined : must(`be ${JSON.stringify(rule)}`);
      case 'enum': {
        const all = rule as readonly unknown[];
        return all.includes(value) ? undefined : must(`be one of ${all.map(quoted).join(', ')}`);
      }
      case 'pattern':
        return typeof value !== 'string' || new RegExp(String(rule), 'u').test(value)
          ? undefined
          : must(`match ${String(rule)}`);
      case 'minLength':
        return typeof value !== 'string' || value.length >= Number(rule)
          ? undefined
          : must('not be empty');
      case 'minimum':
        return typeof value !== 'number' || value >= Number(rule)
          ? undefined
          : must(`be ${String(rule)} or more`);
      case 'minItems':
        return !Array.isArray(value) || value.length >= Number(rule)
          ? undefined
          : must('not be empty');
      case 'items':
        return Array.isArray(value)
          ? first(value, (item, index) =>
              breachOf(item, rule as Schema, whole, `${path}[${index}]`),
            )
          : undefined;
      case 'required': {
        if (!isRecord(value)) return undefined;
        const lacking = (rule as readonly string[]).find((name) => !(name in value));
        return lacking === undefined ? undefined : { path: under(path, lacking), must: 'be there' };
      }
      case 'properties':
        return isRecord(value)
          ? first(Object.entries(rule as Readonly<Record<string, Schema>>), ([name, inner]) =>
              name in value ? breachOf(value[name], inner, whole, under(path, name)) : undefined,
            )
          : undefined;
      case 'additionalProperties': {
        if (!isRecord(value)) return undefined;
        const known = (schema.properties ?? {}) as object;
        return first(Object.entries(value), ([name, inner]) => {
          if (name in known) return undefined;
          if (rule === false) return { path: under(path, name), must: 'not be there' };
          return breachOf(inner, rule as Schema, whole, under(path, name));
        });
      }
      case 'anyOf': {
        const breaches = (rule as readonly Schema[]).map((one) =>
          breachOf(value, one, whole, path),
        );
        if (breaches.includes(undefined)) return undefined;
        // The breach deepest inside tells best what was meant and where it went wrong.
        return breaches.reduce((a, b) => ((b?.path.length ?? 0) > (a?.path.length ?? 0) ? b : a));
      }
      default:
        throw new RangeError(`the schema uses "${keyword}", which is not known here`);
    }
  }
}

function named(whole: Schema, reference: string): Schema {
  const name = reference.replace('#/definitions/', '');
  const found = (whole.definitions as Readonly<Record<string, Schema>> | undefined)?.[name];
  if (found === undefined) throw new RangeError(`the schema has no ${reference}`);
  return found;
}

function isOf(value: unknown, type: string): boolean {
  switch (type) {
    case 'null':
      return value === null;
    case 'array':
      return Array.isArray(value);
    case 'object':
      return isRecord(value);
    case 'integer':
      return Number.isInteger(value);
    default:
      return typeof value === type;
  }
}

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const under = (path: string, name: string): string => (path === '' ? name : `${path}.${name}`);
const quoted = (value: unknown): string => JSON.stringify(value);

function first<T>(
  all: readonly T[],
  breach: (one: T, index: number) => Breach | undefined,
): Breach | undefined {
  for (const [index, one] of all.entries()) {
    const found = breach(one, index);
    if (found !== undefined) return found;
  }
  return undefined;
}
