// Opens the viewer on the service's own description. Nothing is asked of any other server: no validator badge,
// no font, no example host.
window.ui = window.SwaggerUIBundle({
  url: "/api/openapi.json",
  dom_id: "#docs",
  deepLinking: true,
  validatorUrl: null,
  defaultModelsExpandDepth: 0,
  docExpansion: "none",
  // The session cookie is sent by itself; what changes something needs this header beside it.
  requestInterceptor: (request) => {
    request.headers["X-Whetpanel"] = "1";
    return request;
  },
});
