/** Parts camelCase and acronyms by blanks, case kept: `vinNumber`, `GPSSpeed`; a plural s stays with its acronym (`IDs`). */
export function partWords(name: string): string {
  return name
    .normalize('NFKC')
    .replace(/(?<=[\p{Ll}\d])(?=\p{Lu})/gu, ' ')
    .replace(/(?<=\p{Lu})(?=\p{Lu}(?!s(?!\p{Ll}))\p{Ll})/gu, ' ')
}
