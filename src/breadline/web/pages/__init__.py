"""One file a page: route, job, template."""
