import { type Kind, kinds, type Modality, modalities, vocabulary } from '../exam/index.ts';
import type { Expectation } from '../interpret/index.ts';
import { Fault } from './fault.ts';
import { commandLine } from './messages.ts';

/**
 * Reads a prompted item, `kind:site` and for sensation `kind:site/modality`.
 * @throws Fault naming what is not known
 */
export function parseExpectation(text: string): Expectation {
  const [kind = '', rest = ''] = text.split(':', 2);
  const [site = '', modality] = rest.split('/', 2);
  if (!(kinds as readonly string[]).includes(kind)) {
    throw new Fault(commandLine.expect.noKind(text, kind, kinds.join(', ')));
  }
  if (!vocabulary[kind as Kind].sites.includes(site)) {
    throw new Fault(
      commandLine.expect.noSite(text, site, kind, vocabulary[kind as Kind].sites[0] ?? ''),
    );
  }
  if (modality !== undefined && !(modalities as readonly string[]).includes(modality)) {
    throw new Fault(commandLine.expect.noModality(text, modality, modalities.join(', ')));
  }
  return {
    kind: kind as Kind,
    site,
    ...(modality === undefined ? {} : { modality: modality as Modality }),
  };
}
