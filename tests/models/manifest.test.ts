import Ajv from 'ajv';
import { describe, expect, test } from 'vitest';
import published from '../../models-manifest/manifest.json' with { type: 'json' };
import schema from '../../models-manifest/manifest.schema.json' with { type: 'json' };
import {
  type Model,
  modelOf,
  models,
  mustSuit,
  readManifest,
} from '../../src/app/models/manifest.ts';
import { breachOf } from '../../src/app/models/schema.ts';
import { PortError } from '../../src/ports.ts';

/** Ajv 6, a validator of JSON Schema draft 7 by other hands. */
const independent = new Ajv().compile(schema);

type Json = null | boolean | number | string | Json[] | { [name: string]: Json };

/** Every place in a value, as steps to it. */
function placesIn(value: Json, at: readonly (string | number)[] = []): (string | number)[][] {
  const inner =
    value === null || typeof value !== 'object'
      ? []
      : Array.isArray(value)
        ? value.flatMap((item, index) => placesIn(item, [...at, index]))
        : Object.entries(value).flatMap(([name, item]) => placesIn(item, [...at, name]));
  return [[...at], ...inner];
}

const written = (steps: readonly (string | number)[]): string =>
  steps.reduce<string>(
    (path, step) =>
      typeof step === 'number' ? `${path}[${step}]` : path === '' ? step : `${path}.${step}`,
    '',
  );

/** A copy with what stands at a place replaced; `undefined` takes it away. */
function changed(
  steps: readonly (string | number)[],
  change: (old: Json) => Json | undefined,
): Json {
  const copy = structuredClone(published) as unknown as Json;
  const holder = steps
    .slice(0, -1)
    .reduce<Json>((at, step) => Reflect.get(at as object, step), copy);
  const last = steps.at(-1) ?? '';
  const value = change(Reflect.get(holder as object, last) as Json);
  if (value === undefined) Reflect.deleteProperty(holder as object, last);
  else Reflect.set(holder as object, last, value);
  return copy;
}

const refusal = (json: Json): string => {
  try {
    readManifest(json);
  } catch (why) {
    expect(why).toBeInstanceOf(PortError);
    return (why as PortError).message;
  }
  return 'nothing was wrong';
};

const places = placesIn(published as unknown as Json).filter((steps) => steps.length > 0);
const fields = places.filter((steps) => !written(steps).startsWith('$schema'));

describe('the manifest', () => {
  test('keeps its schema, by both validators', () => {
    expect(independent(published)).toBe(true);
    expect(breachOf(published, schema)).toBeUndefined();
    expect(readManifest(published)).toHaveLength(4);
  });

  test('has hashes of what was seen here, and says where it has not seen', () => {
    const known = (id: string) => new Set(modelOf(id).files.map((file) => file.known));
    expect(known('soundswallower-en-us')).toEqual(new Set(['measured']));
    expect(known('pocketsphinx-en-us')).toEqual(new Set(['measured']));
    expect(known('vosk-small-en-us')).toEqual(new Set(['unknown']));
    for (const { files, measured } of models.filter(({ engine }) => engine !== 'soundswallower')) {
      expect(files.some((file) => file.known === 'measured')).toBe(false);
      expect(measured).toBe('not measured here');
    }
  });

  test.each(fields.map((steps) => [written(steps), steps] as const))(
    '%s of another type is refused with its path',
    (path, steps) => {
      const broken = changed(steps, (old) =>
        typeof old === 'number' || path.includes('frontEnd.') ? {} : 7,
      );
      expect(refusal(broken)).toContain(`models-manifest: ${path} must`);
      expect(independent(broken)).toBe(false);
    },
  );

  const texts = fields.filter((steps) => {
    const value = steps.reduce<Json>(
      (at, step) => Reflect.get(at as object, step),
      published as unknown as Json,
    );
    return typeof value === 'string' && !written(steps).includes('frontEnd');
  });
  test.each(texts.map((steps) => [written(steps), steps] as const))(
    '%s left empty is refused with its path',
    (path, steps) => {
      const broken = changed(steps, () => '');
      expect(refusal(broken)).toContain(`models-manifest: ${path} must`);
      expect(independent(broken)).toBe(false);
    },
  );

  const required = fields.filter((steps) => {
    const name = steps.at(-1);
    const optional = ['package', 'debian', 'completedBy', 'frontEnd', 'hosts', 'address'];
    return (
      typeof name === 'string' && !optional.includes(name) && !written(steps).includes('frontEnd.')
    );
  });
  test.each(required.map((steps) => [written(steps), steps] as const))(
    '%s taken away is refused with its path',
    (path, steps) => {
      const broken = changed(steps, () => undefined);
      expect(refusal(broken)).toContain(`models-manifest: ${path} must be there`);
      expect(independent(broken)).toBe(false);
    },
  );

  test.each<readonly [string, readonly (string | number)[], Json | undefined, string]>([
    ['an unknown field', ['models', 0, 'colour'], 'red', 'models[0].colour must not be there'],
    [
      'a hash in capitals',
      ['models', 1, 'files', 0, 'sha256'],
      'A'.repeat(64),
      'models[1].files[0].sha256 must match',
    ],
    [
      'a hash too short',
      ['models', 1, 'files', 0, 'sha256'],
      'a'.repeat(63),
      'models[1].files[0].sha256 must match',
    ],
    [
      'no hash for a measured file',
      ['models', 1, 'files', 0, 'sha256'],
      null,
      'models[1].files[0].sha256 must be null if and only if',
    ],
    [
      'a hash for an unknown file',
      ['models', 2, 'files', 0, 'sha256'],
      'a'.repeat(64),
      'models[2].files[0].sha256 must be null if and only if',
    ],
    [
      'no bytes',
      ['models', 1, 'files', 0, 'bytes'],
      0,
      'models[1].files[0].bytes must be 1 or more',
    ],
    [
      'half a byte',
      ['models', 1, 'files', 0, 'bytes'],
      0.5,
      'models[1].files[0].bytes must be integer',
    ],
    [
      'a total that is none',
      ['models', 1, 'bytes'],
      1,
      'models[1].bytes must be the sum of its files',
    ],
    [
      'a path that leaves the folder',
      ['models', 1, 'files', 0, 'path'],
      '../mdef',
      'models[1].files[0].path must match',
    ],
    [
      'a path from the root',
      ['models', 1, 'files', 0, 'path'],
      '/mdef',
      'models[1].files[0].path must match',
    ],
    [
      'the same path twice',
      ['models', 1, 'files', 1, 'path'],
      'mdef',
      'models[1].files[1].path must be new',
    ],
    ['an id used twice', ['models', 1, 'id'], 'soundswallower-en-us', 'models[1].id must be new'],
    [
      'an address without encryption',
      ['models', 1, 'files', 0, 'address'],
      'http://x.example/mdef',
      'models[1].files[0].address must match',
    ],
    [
      'no address and no package',
      ['models', 1, 'files', 0, 'address'],
      undefined,
      'models[1].files[0].address must be there',
    ],
    [
      'a completer that is not there',
      ['models', 1, 'completedBy'],
      'none',
      'models[1].completedBy must be a model of the same engine',
    ],
    [
      'a completer of another engine',
      ['models', 1, 'completedBy'],
      'vosk-small-en-us',
      'models[1].completedBy must be a model of the same engine',
    ],
    [
      'a way of knowing that is none',
      ['models', 1, 'files', 0, 'known'],
      'guessed',
      'models[1].files[0].known must be one of',
    ],
    [
      'memory below nothing',
      ['models', 1, 'needs', 'memoryMB'],
      -1,
      'models[1].needs.memoryMB must be 1 or more',
    ],
  ])('%s is refused', (_what, steps, value, message) => {
    expect(refusal(changed(steps, () => value))).toContain(message);
  });

  test.each([[null], [7], ['text'], [[]], [{}], [{ models: [] }]])('%j is no manifest', (json) => {
    expect(refusal(json as Json)).toContain('models-manifest: ');
    expect(independent(json)).toBe(false);
  });

  test('a row of measurements is checked in full', () => {
    const row = {
      sound: 'clean',
      findings: 1,
      right: 1,
      asked: 0,
      missed: 0,
      wrong: 0,
      realTime: 0.2,
      date: '2026-11-25',
    };
    const withRow = (change: object) =>
      changed(['models', 0, 'measured'], () => [{ ...row, ...change }]);
    expect(refusal(withRow({}))).toBe('nothing was wrong');
    for (const name of Object.keys(row)) {
      const broken = withRow({ [name]: [] });
      expect(refusal(broken)).toContain(`models[0].measured[0].${name} must`);
      expect(independent(broken)).toBe(false);
    }
    expect(refusal(changed(['models', 0, 'measured'], () => 'very good'))).toContain(
      'models[0].measured must',
    );
  });
});

describe('a model for something else is refused, and what it is for is said', () => {
  const wide = modelOf('pocketsphinx-en-us');
  const engines = ['soundswallower', 'vosk', 'whisper'];
  test.each<[string, Partial<Model>, RegExp]>([
    ['another engine', { engine: 'abacus' }, /for the engine abacus, which does not run here/],
    ['another rate', { sampleRate: 8000 }, /8000 Hz, and this program hears at 16000 Hz/],
    ['another language', { language: 'fr-FR' }, /language fr-FR, and the grammar is in en/],
  ])('%s', (_what, change, message) => {
    expect(() => mustSuit({ ...wide, ...change }, engines, 'en')).toThrow(message);
  });
  test('and each model of the manifest suits', () => {
    for (const model of models) expect(() => mustSuit(model, engines, 'en')).not.toThrow();
  });
  test('an id that is none names those there are', () => {
    expect(() => modelOf('nothing')).toThrow(
      /"nothing"; models-manifest knows soundswallower-en-us, pocketsphinx-en-us/,
    );
  });
});
