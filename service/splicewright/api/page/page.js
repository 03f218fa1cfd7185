// Begins the page. It stands in a file of its own, so that no script need be allowed inside the page.
window.ui = SwaggerUIBundle({
  url: "openapi.json",
  dom_id: "#page",
  deepLinking: true,
  validatorUrl: null, // asks nobody outside
  queryConfigEnabled: false, // no address but ours can be loaded
  defaultModelsExpandDepth: 0,
  docExpansion: "list",
  tryItOutEnabled: true,
  displayRequestDuration: true,
});
