// Flat OpenDocument text for LibreOffice Writer: a page with a running header, paragraphs and tables.
import { esc } from './tools.mjs'

const NAMESPACES =
  ['office', 'style', 'text', 'table']
    .map((n) => `xmlns:${n}="urn:oasis:names:tc:opendocument:xmlns:${n}:1.0"`)
    .join(' ') +
  ' xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0" xmlns:svg="urn:oasis:names:tc:opendocument:xmlns:svg-compatible:1.0"'

// looks: { name: 'size bold italic right center colour=#… before=…mm break' }; the fonts must be installed.
export function makeOdt({ width, height, margin, font, looks, header }) {
  const cells = new Map(),
    columns = new Map(),
    tables = []
  const paragraph = (name, words) => {
    const has = (w) => words.split(' ').includes(w),
      get = (k) => new RegExp(`(?:^| )${k}=(\\S+)`).exec(words)?.[1]
    return `<style:style style:name="${name}" style:family="paragraph"><style:paragraph-properties fo:margin-top="${get('before') ?? '0mm'}" fo:margin-bottom="${get('after') ?? '0mm'}"${has('right') ? ' fo:text-align="end"' : has('center') ? ' fo:text-align="center"' : ''}${has('break') ? ' fo:break-before="page"' : ''}/><style:text-properties style:font-name="${get('font') ?? font}" fo:font-size="${get('size') ?? '10pt'}"${has('bold') ? ' fo:font-weight="bold"' : ''}${has('italic') ? ' fo:font-style="italic"' : ''}${get('colour') ? ` fo:color="${get('colour')}"` : ''}/></style:style>`
  }
  const named = (map, key, prefix) => {
    if (!map.has(key)) map.set(key, `${prefix}${map.size}`)
    return map.get(key)
  }
  const p = (text, look = 'body') =>
    `<text:p text:style-name="${look}">${esc(text)
      .replace(/ {2,}/g, (s) => ` <text:s text:c="${s.length - 1}"/>`)
      .replace(/\n/g, '<text:line-break/>')}</text:p>`
  // cells: text or [text, look, cellKey]; cellKey: 'plain' | 'boxed' | 'grey' | 'line'
  const table = (widths, rows, cellKey = 'boxed') => {
    const name = `t${tables.length}`
    tables.push(
      `<style:style style:name="${name}" style:family="table"><style:table-properties style:width="${widths.reduce((a, b) => a + b)}mm" table:align="left"/></style:style>`,
    )
    const one = (c) => {
      const [text, look, key] = Array.isArray(c) ? c : [c]
      return `<table:table-cell table:style-name="${named(cells, key ?? cellKey, 'c')}" office:value-type="string">${p(text, look)}</table:table-cell>`
    }
    return `<table:table table:name="${name}" table:style-name="${name}">${widths.map((w) => `<table:table-column table:style-name="${named(columns, w, 'w')}"/>`).join('')}${rows.map((r) => `<table:table-row>${r.map(one).join('')}</table:table-row>`).join('')}</table:table>`
  }
  const BOX = {
    plain: 'fo:padding="0.7mm" fo:border="none"',
    boxed: 'fo:padding="1mm" fo:border="0.5pt solid #444444"',
    grey: 'fo:padding="1mm" fo:border="0.5pt solid #444444" fo:background-color="#e4e4e4"',
    line: 'fo:padding="1mm" fo:border="none" fo:border-bottom="0.5pt solid #888888"',
  }
  const finish = (body) => `<?xml version="1.0" encoding="UTF-8"?>
<office:document ${NAMESPACES} office:version="1.3" office:mimetype="application/vnd.oasis.opendocument.text">
<office:font-face-decls>${[font, ...new Set([...JSON.stringify(looks).matchAll(/font=(\S+?)[\s"]/g)].map((m) => m[1]))].map((f) => `<style:font-face style:name="${f}" svg:font-family="'${f.replace(/_/g, ' ')}'"/>`).join('')}</office:font-face-decls>
<office:styles/><office:automatic-styles>
<style:page-layout style:name="page"><style:page-layout-properties fo:page-width="${width}mm" fo:page-height="${height}mm" style:print-orientation="${width > height ? 'landscape' : 'portrait'}" fo:margin="${margin}mm"/><style:header-style><style:header-footer-properties fo:margin-bottom="4mm" fo:min-height="6mm"/></style:header-style></style:page-layout>
${Object.entries({ body: '', ...looks })
  .map(([n, w]) => paragraph(n, w))
  .join('')}
${tables.join('')}${[...columns].map(([w, n]) => `<style:style style:name="${n}" style:family="table-column"><style:table-column-properties style:column-width="${w}mm"/></style:style>`).join('')}
${[...cells].map(([k, n]) => `<style:style style:name="${n}" style:family="table-cell"><style:table-cell-properties ${BOX[k]}/></style:style>`).join('')}
</office:automatic-styles>
<office:master-styles><style:master-page style:name="Standard" style:page-layout-name="page">${header ? `<style:header>${header}</style:header>` : ''}</style:master-page></office:master-styles>
<office:body><office:text>${body}</office:text></office:body></office:document>`
  return { p, table, finish }
}
export const PAGE = '<text:page-number text:select-page="current"/>',
  PAGES = '<text:page-count/>'
