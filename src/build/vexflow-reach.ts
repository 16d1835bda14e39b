import { childrenOf, isNode, type Node, nameOf } from './syntax.ts';
import { ENTRIES, LEFT_OUT } from './vexflow-parts.ts';

export interface Member {
  readonly name: string;
  readonly isStatic: boolean;
  readonly node: Node;
}

export interface ClassInfo {
  readonly name: string;
  readonly parent: string | null;
  readonly members: readonly Member[];
}

export interface Source {
  readonly text: string;
  readonly body: readonly Node[];
}

/** A top-level statement without `export`. */
function declared(statement: Node): Node {
  return isNode(statement.declaration) ? statement.declaration : statement;
}

/** Names a top-level statement brings in; none for one that only does something. */
export function namesIn(statement: Node): readonly string[] {
  const node = declared(statement);
  if (node.type === 'FunctionDeclaration' || node.type === 'ClassDeclaration') {
    return [nameOf(node.id) ?? ''];
  }
  if (node.type !== 'VariableDeclaration') return [];
  return (node.declarations as Node[]).map((d) => nameOf(d.id) ?? '');
}

export function classIn(statement: Node): ClassInfo | null {
  const node = declared(statement);
  if (node.type !== 'ClassDeclaration') return null;
  const members = ((node.body as Node).body as Node[]).map((m): Member => {
    return { name: nameOf(m.key) ?? '', isStatic: m.static === true, node: m };
  });
  return { name: nameOf(node.id) ?? '', parent: nameOf(node.superClass), members };
}

/** Finds out what is left when everything starts from our own files. */
export class Reach {
  readonly topLevel = new Set<string>();
  readonly glyphs = new Set<string>();
  private readonly properties = new Set<string>(['CATEGORY', 'constructor']);
  private readonly statics = new Set<string>();
  private readonly scanned = new Set<Node>();
  private readonly statements = new Map<string, Node[]>();
  private readonly classes = new Map<string, ClassInfo>();
  private grown = true;

  constructor(sources: Iterable<Source>, ours: readonly string[]) {
    const all = [...sources];
    for (const { body } of all) {
      for (const statement of body) {
        const found = classIn(statement);
        if (found !== null) this.classes.set(found.name, found);
        for (const name of namesIn(statement)) {
          this.statements.set(name, [...(this.statements.get(name) ?? []), statement]);
        }
      }
    }
    for (const text of ours) this.readOurs(text);
    while (this.grown) {
      this.grown = false;
      for (const name of [...this.topLevel]) this.scanTopLevel(name);
      for (const { body } of all) this.scanAssignments(body);
    }
  }

  /** Whether a member of a class is left. */
  has(cls: ClassInfo, { name, isStatic }: Member): boolean {
    if (name === 'constructor' || name === 'CATEGORY') return true;
    if (!isStatic) return this.properties.has(name);
    return this.heirsOf(cls.name).some((c) => this.statics.has(`${c}.${name}`));
  }

  /** Whether a class above has a member of the same name that is left. */
  inherits(cls: ClassInfo, member: Member): boolean {
    const above = this.classes.get(cls.parent ?? '');
    if (above === undefined) return false;
    const same = above.members.find((m) => m.name === member.name);
    const kept = same !== undefined && !LEFT_OUT.has(`${above.name}.${same.name}`);
    return kept || this.inherits(above, member);
  }

  /** What our files import, and every word in them outside of comments as a member that is used. */
  private readOurs(text: string): void {
    const code = text.replace(/\/\*[\s\S]*?\*\/|\/\/[^\n]*/gu, '');
    const imported = /import \{([^}]*)\} from 'vexflow\/core'/u.exec(code)?.[1] ?? '';
    for (const [name] of imported.replace(/\btype \w+/gu, '').matchAll(/\w+(?=\s*(,|as\b|$))/gu)) {
      this.topLevel.add(name);
    }
    for (const [word] of code.matchAll(/[A-Za-z_$][\w$]*/gu)) this.properties.add(word);
    for (const [, cls, name] of code.matchAll(/(\w+)\.(\w+)/gu)) this.statics.add(`${cls}.${name}`);
  }

  private scanTopLevel(name: string): void {
    for (const statement of this.statements.get(name) ?? []) {
      const cls = classIn(statement);
      if (cls === null) {
        this.scan(statement, null, name);
        continue;
      }
      if (cls.parent !== null) this.add(this.topLevel, cls.parent);
      for (const m of cls.members) {
        const full = `${cls.name}.${m.name}`;
        if (this.has(cls, m) && !LEFT_OUT.has(full)) this.scan(m.node, cls, full);
      }
    }
  }

  /** `Beam.DEBUG = false`, and whatever else a file does when it is loaded. */
  private scanAssignments(body: readonly Node[]): void {
    for (const statement of body) {
      if (!this.isIdle(statement, body)) this.scan(statement, null, '');
    }
  }

  /** Whether a statement that brings in no name only fills what is not reached. */
  isIdle(statement: Node, body: readonly Node[]): boolean {
    if (statement.type !== 'ExpressionStatement') return true;
    const field = staticField(statement);
    if (field !== null && !this.statics.has(field)) return true;
    const own = new Set(body.flatMap(namesIn));
    return !identifiersIn(statement).some((n) => own.has(n) && this.topLevel.has(n));
  }

  private add(set: Set<string>, name: string): void {
    if (set.has(name)) return;
    set.add(name);
    this.grown = true;
  }

  private scan(node: Node, cls: ClassInfo | null, owner: string): void {
    if (this.scanned.has(node)) return;
    this.scanned.add(node);
    this.grown = true;
    this.walk(node, cls, owner);
  }

  private walk(node: Node, cls: ClassInfo | null, owner: string): void {
    if (isDebugOutput(node)) return;
    if (node.type === 'MemberExpression') this.member(node, cls);
    else if (node.type === 'Property') this.add(this.properties, nameOf(node.key) ?? '');
    else if (node.type === 'Identifier' && this.statements.has(String(node.name))) {
      this.add(this.topLevel, String(node.name));
    }
    const dropped = droppedEntries(node, owner);
    const within = entriesOf(node).length > 0 ? '' : owner;
    for (const child of childrenOf(node)) {
      const isName =
        node.computed !== true &&
        (child === node.property || (child === node.key && node.shorthand !== true));
      if (!isName && !dropped.includes(child)) this.walk(child, cls, within);
    }
    if (node.type === 'VariableDeclarator' && nameOf(node.init) === 'Glyphs') {
      for (const p of (node.id as Node).properties as Node[]) this.glyphs.add(nameOf(p.key) ?? '');
    }
  }

  private member(node: Node, cls: ClassInfo | null): void {
    const object = node.object as Node;
    const name = node.computed === true ? null : nameOf(node.property);
    if (name === null) {
      if (object.type === 'ThisExpression' && (node.property as Node).type !== 'Literal') {
        throw new Error('VexFlow calls a member by a name that is made at run time');
      }
      return;
    }
    if (nameOf(object) === 'Glyphs') this.glyphs.add(name);
    const owner = object.type === 'ThisExpression' ? cls?.name : nameOf(object);
    if (owner != null && this.classes.has(owner)) this.add(this.statics, `${owner}.${name}`);
    if (object.type === 'MemberExpression' && nameOf(object.property) === 'constructor') {
      for (const c of this.classes.keys()) this.add(this.statics, `${c}.${name}`);
    }
    if (object.type === 'ThisExpression' || owner == null || !this.classes.has(owner)) {
      this.add(this.properties, name);
    }
  }

  /** A class and all that are made from it. */
  private heirsOf(name: string): readonly string[] {
    const heirs = [name];
    for (const c of this.classes.values()) {
      if (c.parent === name) heirs.push(...this.heirsOf(c.name));
    }
    return heirs;
  }
}

/** `Class.name` of a statement that sets a field of a class. */
function staticField(statement: Node): string | null {
  const { left } = statement.expression as Node;
  if (!isNode(left) || left.type !== 'MemberExpression' || left.computed === true) return null;
  return `${nameOf(left.object)}.${nameOf(left.property)}`;
}

function identifiersIn(node: Node): readonly string[] {
  const own = node.type === 'Identifier' ? [String(node.name)] : [];
  return [...own, ...childrenOf(node).flatMap(identifiersIn)];
}

/** `L('…')`, which writes to the console where that is switched on. */
export function isDebugOutput(node: Node): boolean {
  if (node.type !== 'ExpressionStatement') return false;
  const call = node.expression as Node;
  return call.type === 'CallExpression' && nameOf(call.callee) === 'L';
}

/** The entries of a table, the cases of a choice. */
export function entriesOf(node: Node): readonly Node[] {
  if (node.type === 'ObjectExpression') return node.properties as Node[];
  return node.type === 'SwitchStatement' ? (node.cases as Node[]) : [];
}

/** Those that are not kept, where the outermost table or choice of `owner` is looked at. */
export function droppedEntries(node: Node, owner: string): readonly Node[] {
  const kept = ENTRIES[owner];
  if (kept === undefined) return [];
  return entriesOf(node).filter((entry) => {
    const name = nameOf(entry.type === 'SwitchCase' ? entry.test : entry.key);
    return name !== null && !kept.has(name);
  });
}
