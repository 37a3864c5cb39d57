import type { Expansion, Grammar, Rule } from './ast.ts';
import { nodes } from './link.ts';

/**
 * The same grammar with each choice written in the midst of a rule as a rule of its own, `rule#1` and on,
 * where a tag depends on it: a reading then tells where it was made, and what else could have stood there.
 * What may be said, and how often, stays the same.
 */
export function named(grammar: Grammar): Grammar {
  const rules = new Map<string, Rule>();
  for (const rule of grammar.rules.values()) {
    let count = 0;
    const within = (e: Expansion): Expansion => {
      switch (e.is) {
        case 'sequence':
          return { ...e, parts: e.parts.map(choice) };
        case 'choice':
          return { ...e, options: e.options.map(choice) };
        case 'optional':
        case 'repeat':
          return { ...e, part: choice(e.part) };
        default:
          return e;
      }
    };
    const choice = (e: Expansion): Expansion => {
      const inner = within(e);
      if (e.is !== 'choice' || ![...nodes(e)].some((node) => node.is === 'tag')) return inner;
      const name = `${rule.name}#${++count}`;
      rules.set(name, { ...rule, name, isPublic: false, body: inner });
      return { is: 'rule', name, at: rule.at };
    };
    rules.set(rule.name, { ...rule, body: within(rule.body) });
  }
  return { rules };
}
