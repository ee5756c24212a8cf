// Lets a page that is served from a site be installed, and opened offline from then on.

if (location.protocol.startsWith("http")) {
  const link = document.createElement("link");
  Object.assign(link, { rel: "manifest", href: "app.webmanifest" });
  document.head.append(link);
  navigator.serviceWorker?.register("offline.js").catch(() => {}); // not on an insecure site
}
