// Passkeys: the browser is asked for a key, and what it answers is sent as a form.
const bytes = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0));
const base64url = (buffer) =>
  btoa(String.fromCharCode(...new Uint8Array(buffer))).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
const NUMBERS = /^[\d.]+$|:/; // of a host: no browser makes a key for an address of numbers

const unable = () => {
  if (!window.isSecureContext) return "insecure";
  if (NUMBERS.test(location.hostname)) return "number";
  return window.PublicKeyCredential && navigator.credentials ? "" : "unable";
};

// Older browsers read and tell the parts themselves, without the words of newer ones for it.
const asked = (told) => {
  const options = { ...told, challenge: bytes(told.challenge) };
  if (told.user) options.user = { ...told.user, id: bytes(told.user.id) };
  for (const name of ["excludeCredentials", "allowCredentials"]) {
    if (told[name]) options[name] = told[name].map((one) => ({ ...one, id: bytes(one.id) }));
  }
  return options;
};
const answered = ({ id, rawId, type, response }) => {
  const parts = {};
  for (const name of ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"]) {
    if (response[name]) parts[name] = base64url(response[name]);
  }
  return JSON.stringify({ id, rawId: base64url(rawId), type, response: parts });
};

for (const form of document.querySelectorAll("[data-passkey]")) {
  const note = form.querySelector("[role=status]"), field = form.elements.passkey;
  const why = unable();
  note.textContent = why && form.dataset.passkey === "create" ? note.dataset[why] : "";
  if (why) continue;
  for (const part of form.querySelectorAll("[hidden]")) part.hidden = false;
  form.addEventListener("submit", async (event) => {
    if (field.value) return;
    event.preventDefault();
    event.stopPropagation(); // nothing is sent yet: the button keeps its words
    note.textContent = "";
    try {
      const body = new URLSearchParams(new FormData(form));
      const told = await fetch(`${form.action}/challenge`, { method: "POST", body });
      if (told.status === 422) { note.textContent = note.dataset.password; return; }
      const publicKey = asked(await told.json());
      field.value = answered(await navigator.credentials[form.dataset.passkey]({ publicKey }));
      form.requestSubmit();
    } catch (error) { note.textContent = note.dataset[error.name === "InvalidStateError" ? "known" : "failed"]; }
  });
}
