/** The header by which a file is saved under its name (RFC 6266, RFC 8187): any name, and nothing of it read as anything else. */
export const attachment = (path: string): string => {
  const name = path.slice(path.lastIndexOf('/') + 1)
  const plain = name.replace(/[^\w. -]/g, '_')
  const encoded = encodeURIComponent(name.toWellFormed()).replace(
    /['()*]/g,
    (one) => `%${one.charCodeAt(0).toString(16)}`,
  )
  return `attachment; filename="${plain}"; filename*=UTF-8''${encoded}`
}
