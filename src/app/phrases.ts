import { findingName, itemKey, type Kind } from '../exam/index.ts';
import { nodes, ruleOf, sample } from '../grammar/index.ts';
import { interpret, type Language } from '../interpret/index.ts';
import { bedsideOrder, type Call, type Messages, type Phrase } from '../ui/index.ts';

/** Sentences tried of each rule, and kept of each site. */
const tried = 96;
const keptOfSite = 2;

/** The longest example that still reads at a glance. */
const mostWords = 9;

/**
 * What can be said, from the grammar: every command, and of each kind of finding examples that are
 * understood in full. The choice among them is fixed, so the list is the same every time.
 */
export function phrasesOf(language: Language, messages: Messages): readonly Phrase[] {
  const commands = (language.sentences('command.command') ?? []).map(({ words, tags }) => ({
    words: words.join(' '),
    means: messages.commands[tags.join(' ').split('=')[1] ?? ''] ?? '',
    group: messages.text.commands,
  }));
  return [...commands, ...examples(language, messages)];
}

/** The words with which one may call for attention, from the grammar: of each the shortest. */
export function callsOf(language: Language): readonly Call[] {
  const calls = new Map<string, string>();
  for (const { words, tags } of language.sentences('attention.word') ?? []) {
    const id = tags.join('').split('=')[1] ?? '';
    const text = words.join(' ');
    const known = calls.get(id);
    if (known === undefined || text.length < known.length) calls.set(id, text);
  }
  return [...calls].map(([id, words]) => ({ id, words }));
}

function examples(language: Language, messages: Messages): readonly Phrase[] {
  const { grammar } = language;
  const rules = [...nodes(ruleOf(grammar, 'exam.finding').body)].flatMap((node) =>
    node.is === 'rule' ? [node.name] : [],
  );
  const found = new Map<string, Phrase & { readonly kind: Kind; readonly site: string }>();
  const perSite = new Map<string, number>();
  for (const rule of rules) {
    const pick = fixedPicks();
    for (let i = 0; i < tried; i++) {
      const { words } = sample(grammar, rule, pick);
      if (words.length > mostWords) continue;
      const meaning = interpret(language, words);
      if (meaning.is !== 'findings' || meaning.questions.length > 0) continue;
      const [first] = meaning.findings;
      if (first === undefined || meaning.findings.length > 2) continue;
      const site = itemKey(first).split(':').slice(0, 2).join(':');
      const known = perSite.get(site) ?? 0;
      const text = words.join(' ');
      if (known >= keptOfSite || found.has(text)) continue;
      perSite.set(site, known + 1);
      found.set(text, {
        words: text,
        means: meaning.findings.map((finding) => findingName(finding, messages.names)).join('; '),
        group: messages.kinds[first.kind],
        kind: first.kind,
        site,
      });
    }
  }
  const place = ({ kind }: { readonly kind: Kind }): number => bedsideOrder.indexOf(kind);
  return [...found.values()].toSorted(
    (a, b) => place(a) - place(b) || a.site.localeCompare(b.site),
  );
}

/** Picks that look mixed but never change: a linear congruential sequence (Park and Miller 1988). */
function fixedPicks(): (below: number) => number {
  let seed = 20_011;
  return (below) => {
    seed = (seed * 48_271) % 2_147_483_647;
    return seed % below;
  };
}
