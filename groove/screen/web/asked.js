// Requests of the page to its server, beside edits.

/**
 * Resolves with the JSON at an address of the server; with a body, it is sent there. Throws an Error with the
 * server's words where it refuses, and "failed" where it can't say why.
 */
export async function asked(path, body) {
  const sent = { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) };
  const answer = await fetch(path, body === undefined ? {} : sent);
  if (answer.ok) return answer.json();
  const found = answer.status === 422 ? await answer.json() : {};
  throw new Error(found.trouble ?? "failed");
}
