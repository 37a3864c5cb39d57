import { type Kind, kinds, type Modality, modalities, vocabulary } from '../exam/index.ts';
import type { Expectation } from '../interpret/index.ts';
import { Fault } from './fault.ts';

/**
 * Reads a prompted item, `kind:site` and for sensation `kind:site/modality`.
 * @throws Fault naming what is not known
 */
export function parseExpectation(text: string): Expectation {
  const [kind = '', rest = ''] = text.split(':', 2);
  const [site = '', modality] = rest.split('/', 2);
  if (!(kinds as readonly string[]).includes(kind)) {
    throw new Fault(
      `--expect ${text}: "${kind}" is not a kind of finding; use kind:site, e.g. reflex:patellar (kinds: ${kinds.join(', ')})`,
    );
  }
  if (!vocabulary[kind as Kind].sites.includes(site)) {
    throw new Fault(
      `--expect ${text}: "${site}" is not a site of ${kind}; one is ${vocabulary[kind as Kind].sites[0]}`,
    );
  }
  if (modality !== undefined && !(modalities as readonly string[]).includes(modality)) {
    throw new Fault(`--expect ${text}: "${modality}" is not one of ${modalities.join(', ')}`);
  }
  return {
    kind: kind as Kind,
    site,
    ...(modality === undefined ? {} : { modality: modality as Modality }),
  };
}
