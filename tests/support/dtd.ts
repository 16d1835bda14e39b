import { SaxesParser, type SaxesTagPlain } from 'saxes';

/**
 * A validating reader of document type definitions (XML 1.0, sections 3.2 and 3.3), because the
 * build of xmllint that runs everywhere leaves DTD validation out. Where Debian's xmllint is
 * installed a test compares the two.
 */
export interface Dtd {
  readonly elements: ReadonlyMap<string, ElementRule>;
}

interface ElementRule {
  readonly content: 'any' | 'text' | 'mixed' | 'children' | 'empty';
  /** Over the names of the children, each followed by a space. */
  readonly pattern: RegExp;
  readonly attributes: Map<string, AttributeRule>;
}

interface AttributeRule {
  readonly type: string;
  readonly choices: readonly string[] | null;
  readonly required: boolean;
  readonly fixed: string | null;
}

/** Reads a DTD with everything it includes; `load` gives the text of a file it names. */
export function readDtd(name: string, load: (file: string) => string): Dtd {
  const entities = new Map<string, string>();
  const models = new Map<string, string>();
  const lists = new Map<string, string[]>();

  const expand = (text: string): string =>
    text.replace(/%([\w.-]+);/gu, (_, entity: string) => {
      const value = entities.get(entity);
      if (value === undefined) throw new Error(`no entity %${entity};`);
      return ` ${expand(value)} `;
    });

  const read = (text: string): void => {
    let rest = text;
    const take = (pattern: RegExp): RegExpExecArray | null => {
      const m = pattern.exec(rest);
      if (m !== null) rest = rest.slice(m[0].length);
      return m;
    };
    for (;;) {
      rest = rest.trimStart();
      if (rest === '') return;
      if (take(/^<!--[\s\S]*?-->|^<\?[\s\S]*?\?>/u) !== null) continue;
      const reference = take(/^%([\w.-]+);/u);
      if (reference !== null) {
        read(entities.get(reference[1]!) ?? missing(reference[1]!));
        continue;
      }
      const section = take(/^<!\[([^[]*)\[/u);
      if (section !== null) {
        const end = endOfSection(rest);
        if (expand(section[1]!).trim() === 'INCLUDE') read(rest.slice(0, end));
        rest = rest.slice(end + 3);
        continue;
      }
      const entity = take(
        /^<!ENTITY\s+%\s+([\w.-]+)\s+(?:"([^"]*)"|'([^']*)'|PUBLIC\s+"[^"]*"\s+"([^"]*)"|SYSTEM\s+"([^"]*)")\s*>/u,
      );
      if (entity !== null) {
        const [, key, a, b, c, d] = entity;
        const external = c ?? d;
        if (!entities.has(key!)) {
          entities.set(key!, external === undefined ? expand(a ?? b ?? '') : load(external));
        }
        continue;
      }
      const declaration = take(/^<!(ELEMENT|ATTLIST)\s+([^\s>]+)\s([^>]*)>/u);
      if (declaration === null) throw new Error(`DTD not understood: ${rest.slice(0, 60)}`);
      const [, kind, rawName, body] = declaration;
      const element = expand(rawName!).trim();
      if (kind === 'ELEMENT') models.set(element, expand(body!).trim());
      else lists.set(element, [...(lists.get(element) ?? []), expand(body!)]);
    }
  };
  read(load(name));
  return { elements: new Map([...models].map(([n, m]) => [n, ruleOf(m, lists.get(n) ?? [])])) };
}

function missing(entity: string): never {
  throw new Error(`no entity %${entity};`);
}

function endOfSection(text: string): number {
  let depth = 1;
  for (const m of text.matchAll(/<!\[|\]\]>/gu)) {
    depth += m[0] === ']]>' ? -1 : 1;
    if (depth === 0) return m.index;
  }
  throw new Error('a conditional section does not end');
}

function ruleOf(model: string, lists: readonly string[]): ElementRule {
  const attributes = readAttributes(lists.join('\n'));
  const plain = model.replace(/\s+/gu, '');
  if (plain === 'EMPTY') return { content: 'empty', pattern: /^$/u, attributes };
  if (plain === 'ANY') return { content: 'any', pattern: /^/u, attributes };
  if (plain === '(#PCDATA)' || plain === '(#PCDATA)*') {
    return { content: 'text', pattern: /^$/u, attributes };
  }
  // Every name becomes a group that matches it once; , means after one another.
  const pattern = plain
    .replace('#PCDATA|', '')
    .replace(/\(/gu, '(?:')
    .replace(/[A-Za-z][\w.-]*/gu, (name) => `(?:${name} )`)
    .replace(/,/gu, '');
  const content = plain.startsWith('(#PCDATA') ? 'mixed' : 'children';
  return { content, pattern: new RegExp(`^${pattern}$`, 'u'), attributes };
}

function readAttributes(text: string): Map<string, AttributeRule> {
  const rules = new Map<string, AttributeRule>();
  const pattern =
    /([\w:.-]+)\s+(CDATA|IDREFS?|ID|NMTOKENS?|ENTIT(?:Y|IES)|\([^)]*\))\s+(#REQUIRED|#IMPLIED|(#FIXED\s+)?("[^"]*"|'[^']*'))/gu;
  for (const [, name, type, use, isFixed, value] of text.matchAll(pattern)) {
    if (rules.has(name!)) continue;
    rules.set(name!, {
      type: type!.startsWith('(') ? 'choice' : type!,
      choices: type!.startsWith('(')
        ? type!
            .slice(1, -1)
            .split('|')
            .map((c) => c.trim())
        : null,
      required: use === '#REQUIRED',
      fixed: isFixed === undefined ? null : value!.slice(1, -1),
    });
  }
  return rules;
}

interface Open {
  readonly name: string;
  readonly line: number;
  children: string;
  text: string;
}

/** What in the document breaks the DTD, as `line: message`; empty for a valid one. */
export function validateAgainst(dtd: Dtd, xml: string): readonly string[] {
  const out: string[] = [];
  const stack: Open[] = [];
  const ids = new Set<string>();
  const refs: { readonly line: number; readonly id: string }[] = [];
  const parser = new SaxesParser({ xmlns: false });
  parser.on('error', (e) => out.push(`${parser.line}: ${e.message}`));
  parser.on('opentag', (tag: SaxesTagPlain) => {
    const { line } = parser;
    const parent = stack.at(-1);
    if (parent !== undefined) parent.children += `${tag.name} `;
    stack.push({ name: tag.name, line, children: '', text: '' });
    const rule = dtd.elements.get(tag.name);
    if (rule === undefined) out.push(`${line}: no declaration for element ${tag.name}`);
    else checkAttributes(rule, tag, (message) => out.push(`${line}: ${message}`));
    for (const [name, value] of Object.entries(tag.attributes)) {
      const type = rule?.attributes.get(name)?.type;
      if (type === 'ID') {
        if (ids.has(value)) out.push(`${line}: ID ${value} already defined`);
        ids.add(value);
      } else if (type === 'IDREF') refs.push({ line, id: value });
    }
  });
  parser.on('text', (t) => {
    const open = stack.at(-1);
    if (open !== undefined) open.text += t;
  });
  parser.on('closetag', () => {
    const done = stack.pop()!;
    const rule = dtd.elements.get(done.name);
    if (rule === undefined || rule.content === 'any') return;
    const hasText = done.text.trim() !== '';
    if (hasText && (rule.content === 'children' || rule.content === 'empty')) {
      out.push(`${done.line}: element ${done.name} has text`);
    }
    if (!rule.pattern.test(done.children)) {
      out.push(`${done.line}: element ${done.name} has children ( ${done.children})`);
    }
  });
  parser.write(xml).close();
  for (const { line, id } of refs) {
    if (!ids.has(id)) out.push(`${line}: IDREF ${id} has no ID`);
  }
  return out;
}

function checkAttributes(
  rule: ElementRule,
  tag: SaxesTagPlain,
  report: (message: string) => void,
): void {
  for (const [name, value] of Object.entries(tag.attributes)) {
    const attribute = rule.attributes.get(name);
    if (attribute === undefined) {
      report(`no declaration for attribute ${name} of element ${tag.name}`);
      continue;
    }
    const wrong =
      (attribute.choices !== null && !attribute.choices.includes(value)) ||
      (attribute.fixed !== null && attribute.fixed !== value) ||
      (attribute.type === 'NMTOKEN' && !/^[\w:.-]+$/u.test(value)) ||
      (attribute.type.startsWith('ID') && !/^[A-Za-z_][\w.-]*$/u.test(value));
    if (wrong) report(`value ${value} for attribute ${name} of ${tag.name} is not allowed`);
  }
  for (const [name, attribute] of rule.attributes) {
    if (attribute.required && tag.attributes[name] === undefined) {
      report(`element ${tag.name} lacks attribute ${name}`);
    }
  }
}
